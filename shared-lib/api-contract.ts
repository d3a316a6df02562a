import { z } from 'zod';
import {
  amplifierProfileSchema,
  amplifierSettingsSchema,
  keptAmplifierSchema,
} from './amplifier/amplifier-profile.ts';
import { listeningSchema } from './amplifier/listening-model.ts';
import { errorCodes } from './app-error.ts';
import { backupEvents, backupRequests, backupRuleSchema } from './backup/backup-requests.ts';
import { benchStatusSchema, liveCurveSchema, soundCueSchema } from './bench-status.ts';
import { catalogueRequests } from './catalogue/catalogue-requests.ts';
import { currencySchema } from './catalogue/catalogue-model.ts';
import { calibrationInputSchema, calibrationVersionSchema } from './calibration/calibration-model.ts';
import { calibrationEvents, calibrationRequests } from './calibration/calibration-requests.ts';
import { comparisonRequests } from './comparison/comparison-requests.ts';
import { exchangeRequests } from './exchange/exchange-requests.ts';
import { logbookRequests, windowFiguresSchema } from './logbook/logbook-requests.ts';
import { overlayEvents, overlayRequests } from './overlay/overlay-model.ts';
import { publishingEvents, publishingRequests } from './publishing/publishing-requests.ts';
import { runSheetRequests } from './run-sheet/run-sheet-requests.ts';
import { qualityGateSchema } from './run-sheet/session-model.ts';
import { standingsRequests } from './standings/standings-requests.ts';
import { stepSchema } from './trial/step-model.ts';
import { stopCauseSchema, transducerSchema, trialRecordSchema } from './trial/trial-model.ts';
import { float64ArraySchema, int32ArraySchema } from './typed-array-schemas.ts';

/**
 * THE contract between the services and any window: every request with the schema of what goes in and what comes out,
 * and every event. Both hosts and the renderer derive their types and their checks from these two maps.
 *
 * Bulk data is typed arrays: structured clone carries them over Electron's IPC, `wire-codec.ts` over a socket.
 */
const empty = z.strictObject({});
const reason = z.string().trim().min(3, 'Say why, in at least three characters.').max(500);
const trialId = z.strictObject({ trialId: z.string().min(1).max(64) });

const scaleWords = z.string().trim().max(200);

export const unitSchema = z.literal(['Nm', 'ftLbf']);

export const settingsSchema = z.strictObject({
  torqueUnit: unitSchema,
  theme: z.literal(['system', 'light', 'dark', 'sunlight']),
  operator: z.string().trim().max(80),
  soundVolume: z.number().min(0).max(1),
  /** Length of the bar that Setup shows, as measured by the user on this screen; gives true millimetres. */
  screenPxPerMm: z.number().min(0.5).max(50).nullable(),
  levelsNm: z.array(z.number().positive().max(1e6)).max(6),
  step: stepSchema,
  amplifier: amplifierSettingsSchema.nullable(),
  /** The transducer on the bench where no amplifier says otherwise; null: the first. */
  activeTransducerId: z.string().nullable(),
  connectAtStart: z.literal(['none', 'serial', 'simulated']),
  /** The run sheet on the bench; null: trials by `step`. */
  runSheetId: z.string().nullable(),
  qualityGate: qualityGateSchema,
  /** In which new prices are entered and new tables compare them. */
  currency: currencySchema,
  /** What the tester means by these handling ratings, in own words. */
  handlingScale: z.strictObject({ one: scaleWords, five: scaleWords, ten: scaleWords }),
  /** Handling is asked for before the figures of a tool are shown. */
  ratesHandlingBlind: z.boolean(),
  backup: backupRuleSchema,
});
export type Settings = z.infer<typeof settingsSchema>;
export type TorqueUnit = z.infer<typeof unitSchema>;

const serialPortSchema = z.strictObject({
  path: z.string(),
  /** What the port says of itself: maker of the converter, product, serial number. */
  manufacturer: z.string().nullable(),
  serialNumber: z.string().nullable(),
  vendorId: z.string().nullable(),
  productId: z.string().nullable(),
});
export type SerialPortInfo = z.infer<typeof serialPortSchema>;

const calibrationPreviewSchema = z.strictObject({
  forwardTorqueNm: z.number().nullable(),
  reverseTorqueNm: z.number().nullable(),
  forwardGainNmPerCount: z.number().nullable(),
  reverseGainNmPerCount: z.number().nullable(),
  gravityMps2: z.number().nullable(),
  remarks: z.array(z.string()),
});
export type CalibrationPreview = z.infer<typeof calibrationPreviewSchema>;

/** One stored trial ready to draw. `timeS` is from onset; the raw curve comes as the least and greatest value per bin. */
const trialCurveSchema = z.strictObject({
  trialId: z.string(),
  sampleRateHz: z.number(),
  startS: z.number(),
  endS: z.number(),
  binWidthS: z.number(),
  binStartS: z.number(),
  minNm: float64ArraySchema,
  maxNm: float64ArraySchema,
  /** Zero-phase 20 Hz low-pass, for the eye only; empty where the rate is under 80 Sa/s or it was not asked for. */
  displayNm: float64ArraySchema,
  displayTimeS: float64ArraySchema,
  measuringNm: float64ArraySchema,
  measuringTimeS: float64ArraySchema,
  /** Of the stretch's raw samples; left out where nobody asked, or where those of the trial are still hidden. */
  figures: windowFiguresSchema.optional(),
});
export type TrialCurve = z.infer<typeof trialCurveSchema>;

const trialCountsSchema = z.strictObject({
  trialId: z.string(),
  counts: int32ArraySchema,
  /** Pairs of offset and length, in slots from the record's first slot. */
  gaps: int32ArraySchema,
});

const captureSchema = z.strictObject({
  fileName: z.string(),
  bytes: z.int(),
  startedAt: z.string(),
  durationS: z.number(),
  profileName: z.string(),
});
export type CaptureSummary = z.infer<typeof captureSchema>;
const captureFileName = z.strictObject({ fileName: z.string().min(1).max(120) });

const diagnosticBundleSchema = z.strictObject({
  path: z.string(),
  entries: z.array(z.strictObject({ name: z.string(), bytes: z.int(), holds: z.string() })),
});
export type DiagnosticBundle = z.infer<typeof diagnosticBundleSchema>;

const transducerId = z.strictObject({ transducerId: z.string().min(1).max(64) });
const amplifierId = z.strictObject({ amplifierId: z.string().min(1).max(64) });

export const requests = {
  getStatus: { params: empty, result: benchStatusSchema },
  getSettings: { params: empty, result: settingsSchema },
  updateSettings: { params: settingsSchema.partial(), result: settingsSchema },

  listPorts: { params: empty, result: z.strictObject({ ports: z.array(serialPortSchema) }) },
  /** Ready-made ones first, then the user's own. */
  listProfiles: {
    params: empty,
    result: z.strictObject({ profiles: z.array(amplifierProfileSchema), ownProfileIds: z.array(z.string()) }),
  },
  /** A new own profile, or a change of one. Refuses with 'profile-invalid' what cannot match, with all its reasons. */
  saveProfile: {
    params: z.strictObject({ profile: amplifierProfileSchema }),
    result: z.strictObject({ profile: amplifierProfileSchema }),
  },
  deleteProfile: { params: z.strictObject({ profileId: z.string().min(1).max(64) }), result: empty },

  /** Ends the connection and reports raw lines as 'listeningChanged'. Without a baud rate the usual ones are tried. */
  startListening: {
    params: z.strictObject({
      path: z.string().min(1).max(255),
      baudRate: amplifierProfileSchema.shape.baudRate.nullable(),
    }),
    result: empty,
  },
  stopListening: { params: empty, result: empty },
  getListening: { params: empty, result: z.strictObject({ listening: listeningSchema.nullable() }) },

  listAmplifiers: { params: empty, result: z.strictObject({ amplifiers: z.array(keptAmplifierSchema) }) },
  connectKeptAmplifier: { params: amplifierId, result: empty },
  /** The one of the last time, on whatever port it is today. Refused with 'amplifier-not-found' where there was none. */
  connectLastAmplifier: { params: empty, result: empty },
  updateAmplifier: {
    params: amplifierId.extend({ name: keptAmplifierSchema.shape.name }),
    result: keptAmplifierSchema,
  },
  /** Takes it off the list; calibrations and trials made with it keep their own record of it. */
  forgetAmplifier: { params: amplifierId, result: empty },

  /** Writes the bytes of the port, as they come, into a file of the data folder. */
  startCapture: { params: empty, result: captureFileName },
  stopCapture: { params: empty, result: captureSchema },
  listCaptures: { params: empty, result: z.strictObject({ captures: z.array(captureSchema) }) },
  /** A captured file as a port: the same bytes, at the same pace, by the profile it was captured with. */
  replayCapture: { params: captureFileName, result: empty },

  makeDiagnosticBundle: {
    params: z.strictObject({ includeRawBytes: z.boolean() }),
    result: diagnosticBundleSchema,
  },

  connectAmplifier: { params: amplifierSettingsSchema, result: empty },
  connectSimulatedBench: { params: empty, result: empty },
  disconnectAmplifier: { params: empty, result: empty },

  listTransducers: { params: empty, result: z.strictObject({ transducers: z.array(transducerSchema) }) },
  /** Only what is given changes, so that two fields saved one after the other cannot undo each other. */
  updateTransducer: {
    params: transducerSchema
      .pick({
        id: true,
        name: true,
        capacityNm: true,
        rigLimitNm: true,
        rigUnloading: true,
        rigRevision: true,
      })
      .partial({ name: true, capacityNm: true, rigLimitNm: true, rigUnloading: true, rigRevision: true }),
    result: transducerSchema,
  },
  addTransducer: { params: transducerSchema.pick({ name: true }), result: transducerSchema },
  /** From now on this one is on the bench; with a real amplifier connected, also the next time that one is. */
  activateTransducer: { params: transducerId, result: transducerSchema },
  /** Watches for a guided clockwise push; ends with the sense stored, or `no-onset` after 15 s without one. */
  confirmSense: { params: empty, result: transducerSchema },
  /** Whoever was to push has gone: the watch ends with `cancelled`, and the sense stays as it was. */
  giveUpSense: { params: empty, result: empty },

  /** Newest first; of one transducer, on the bench or not, or of all where none is named. */
  listCalibrations: {
    params: z.strictObject({ transducerId: transducerId.shape.transducerId.optional() }),
    result: z.strictObject({ calibrations: z.array(calibrationVersionSchema) }),
  },
  previewCalibration: { params: calibrationInputSchema, result: calibrationPreviewSchema },
  saveCalibration: {
    params: z.strictObject({
      label: calibrationVersionSchema.shape.label,
      input: calibrationInputSchema,
      enteredUncertaintyPercent: calibrationVersionSchema.shape.enteredUncertaintyPercent,
      note: calibrationVersionSchema.shape.note,
      /** Needed where an earlier version is in use. */
      supersedeReason: reason.nullable(),
      /** As the window shows them; left out: whichever are on the bench. Refused with 'bench-moved-on' where they are others. */
      transducerId: calibrationVersionSchema.shape.transducerId.optional(),
      supersedesId: calibrationVersionSchema.shape.id.nullable().optional(),
    }),
    result: calibrationVersionSchema,
  },
  /** The mean of the last second of counts, for the calibration forms. */
  captureCounts: {
    params: empty,
    result: z.strictObject({ meanCounts: z.number(), spreadCounts: z.number(), sampleCount: z.int() }),
  },
  ...calibrationRequests,

  takeZero: { params: empty, result: empty },
  confirmSafety: { params: empty, result: empty },
  /**
   * `entryId`: of the run sheet as the window shows it; null: no sheet; left out: whatever is next. Refused with 'bench-moved-on' where the bench is
   * at another entry, with 'invalid-state' before a rest is over unless it is cut.
   */
  armTrial: {
    params: z.strictObject({
      entryId: z.string().max(64).nullable().optional(),
      isRestCut: z.boolean().optional(),
    }),
    result: empty,
  },
  /** Ends a trial under way; before onset nothing is kept, after it what was recorded is kept as interrupted. */
  stopTrial: { params: empty, result: empty },

  /** `stopCause`: where the torque ended early. */
  keepTrial: { params: trialId.extend({ stopCause: stopCauseSchema.nullable().optional() }), result: empty },
  voidTrial: { params: trialId.extend({ reason }), result: empty },
  restoreTrial: { params: trialId.extend({ reason }), result: empty },

  getTrial: { params: trialId, result: trialRecordSchema },
  getTrialCurve: {
    params: trialId.extend({
      fromS: z.number().nullable(),
      toS: z.number().nullable(),
      bins: z.int().min(10).max(8192),
      /** False: without the display curve, which takes longest to compute; left out: with it. */
      withDisplay: z.boolean().optional(),
      /** With what the raw samples of the stretch come to, so that looking closer is one request. */
      withFigures: z.boolean().optional(),
    }),
    result: trialCurveSchema,
  },
  getTrialCounts: { params: trialId, result: trialCountsSchema },
  ...logbookRequests,
  ...runSheetRequests,
  ...catalogueRequests,
  ...comparisonRequests,
  ...standingsRequests,
  ...publishingRequests,
  ...exchangeRequests,
  ...overlayRequests,
  ...backupRequests,
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;

export const events = {
  statusChanged: benchStatusSchema,
  settingsChanged: settingsSchema,
  liveCurve: liveCurveSchema,
  soundCue: soundCueSchema,
  /** Null: nobody listens any more. */
  listeningChanged: z.strictObject({ listening: listeningSchema.nullable() }),
  trialsChanged: z.strictObject({ trialId: z.string() }),
  /** A tool, pack, setup, plan or run sheet is another. */
  runSheetsChanged: empty,
  /** Details, claims, prices, photos, ratings, merges or exchange rates are others. */
  catalogueChanged: empty,
  /** A scheme, a table, an edition or a margin is another. */
  standingsChanged: empty,
  ...calibrationEvents,
  ...publishingEvents,
  ...overlayEvents,
  ...backupEvents,
} as const satisfies Record<string, z.ZodType>;

export type RequestName = keyof typeof requests;
export type RequestParams<Name extends RequestName> = z.infer<(typeof requests)[Name]['params']>;
export type RequestResult<Name extends RequestName> = z.infer<(typeof requests)[Name]['result']>;
export type EventName = keyof typeof events;
export type EventPayload<Name extends EventName> = z.infer<(typeof events)[Name]>;

export const failureSchema = z.strictObject({
  code: z.literal(errorCodes),
  message: z.string(),
  details: z.record(z.string(), z.union([z.string(), z.number(), z.boolean(), z.null()])),
});
export type Failure = z.infer<typeof failureSchema>;

/** What every request is answered with, on either transport. */
export type Reply<Result = unknown> =
  { readonly ok: true; readonly result: Result } | { readonly ok: false; readonly error: Failure };

export function isRequestName(name: unknown): name is RequestName {
  return typeof name === 'string' && Object.hasOwn(requests, name);
}

export function isEventName(name: unknown): name is EventName {
  return typeof name === 'string' && Object.hasOwn(events, name);
}

/** The one thing a window talks to, whatever carries it. */
export interface Connection {
  request<Name extends RequestName>(name: Name, params: RequestParams<Name>): Promise<RequestResult<Name>>;
  /** Returns the function that ends the subscription. */
  subscribe<Name extends EventName>(name: Name, listener: (payload: EventPayload<Name>) => void): () => void;
}
