import { z } from 'zod';
import { float64ArraySchema } from '../typed-array-schemas.ts';

/** The overlay: a page with a transparent ground for a capture program, at an address of its own that can only be read. */
export const overlayLayoutSchema = z.literal(['curveAndFigures', 'figures', 'curve']);
export const overlayThemeSchema = z.literal(['onDark', 'onLight', 'panel']);

export const overlaySettingsSchema = z.strictObject({
  isOn: z.boolean(),
  port: z.int().min(1024).max(65535),
  layout: overlayLayoutSchema,
  theme: overlayThemeSchema,
  /** How much later than it was measured everything is shown, so that it meets a picture that arrives late. */
  delayMs: z.int().min(0).max(5000),
});
export type OverlaySettings = z.infer<typeof overlaySettingsSchema>;

/**
 * How long before its instant a mark is told of, so that every window shows it then and not whenever the message comes. Ours: longer
 * than a busy page takes for a frame.
 */
export const SYNC_MARK_LEAD_MS = 250;
/** WCAG 2.2, 2.3.1 allows three flashes a second; one is enough to tie a camera to. */
export const LEAST_BETWEEN_MARKS_MS = 1000;
/** A camera with 24 frames a second sees some five of it. */
export const SYNC_FLASH_MS = 200;

/** A flash and a tone at one instant, seen and heard by the camera, and stored. */
export const syncMarkSchema = z.strictObject({
  id: z.string(),
  at: z.string(),
  /** On the host's monotonic clock, the one that samples are timed by. */
  monotonicUs: z.number(),
  /** Null: given before the first pull of a session; then it ties those of the next one. */
  sessionId: z.string().nullable(),
  /**
   * Onsets of trials of that session, in seconds after the mark, negative before it, in order; by the arrival times of each record, so
   * that an amplifier whose clock goes wrong does not show.
   */
  onsets: z.array(z.strictObject({ trialId: z.string(), toolName: z.string(), afterS: z.number() })),
});
export type SyncMark = z.infer<typeof syncMarkSchema>;

export const overlayStateSchema = z.strictObject({
  settings: overlaySettingsSchema,
  /** With its token; null: it is off or could not be started. */
  url: z.string().nullable(),
  problem: z.string().nullable(),
  /** How many pages show it. */
  viewerCount: z.int(),
  shows: z.literal(['live', 'replay']),
});
export type OverlayState = z.infer<typeof overlayStateSchema>;

/** Several stored trials side by side, aligned at onset, at true speed. */
export const replaySchema = z.strictObject({
  trialIds: z.array(z.string().min(1).max(64)).min(1).max(5),
  /** From onset; negative: before it. */
  fromS: z.number().min(-10).max(3600),
  toS: z.number().min(0.1).max(3600),
});
export type Replay = z.infer<typeof replaySchema>;

/** Least and greatest torque per bin, by the time from onset of its middle. */
const curveSchema = {
  timeS: float64ArraySchema,
  minNm: float64ArraySchema,
  maxNm: float64ArraySchema,
};

/**
 * What the overlay page is told; nothing else goes over its socket, and nothing comes back. Every instant is on the host's monotonic
 * clock; `look.settings.delayMs` after it the page shows what happened then.
 */
export const overlayFrameSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('look'), settings: overlaySettingsSchema }),
  z.strictObject({
    kind: z.literal('run'),
    /** Another one begins an empty curve. */
    runId: z.string(),
    atUs: z.number(),
    toolName: z.string(),
    stepWords: z.string(),
    plannedS: z.number(),
    torqueUnit: z.literal(['Nm', 'ftLbf']),
    phase: z.literal(['idle', 'ready', 'running', 'over']),
    isSimulated: z.boolean(),
    /** The largest first. */
    figures: z.array(z.strictObject({ label: z.string(), text: z.string() })),
  }),
  z.strictObject({
    kind: z.literal('samples'),
    runId: z.string(),
    ...curveSchema,
    /** When the last of them had been read. */
    readAtUs: z.number(),
  }),
  z.strictObject({
    kind: z.literal('replay'),
    runId: z.string(),
    /** When `fromS` is in sight. */
    startAtUs: z.number(),
    fromS: z.number(),
    toS: z.number(),
    torqueUnit: z.literal(['Nm', 'ftLbf']),
    /** Of a torque. */
    decimals: z.int().min(0).max(6),
    isSimulated: z.boolean(),
    curves: z
      .array(
        z.strictObject({
          label: z.string(),
          /** Of the five of every picture. */
          colour: z.int().min(0).max(4),
          ...curveSchema,
          /** The measuring curve at `timeS`, for the figure of the moment; NaN: none. */
          measuredNm: float64ArraySchema,
          /** The main result; null: none. */
          figure: z.string().nullable(),
        }),
      )
      .min(1)
      .max(5),
  }),
  z.strictObject({ kind: z.literal('clock'), hostUs: z.number() }),
  z.strictObject({ kind: z.literal('syncMark'), markId: z.string(), atUs: z.number() }),
]);
export type OverlayFrame = z.infer<typeof overlayFrameSchema>;

/** Under this name the socket of the overlay tells its frames, as events of the wire codec. */
export const OVERLAY_EVENT = 'overlay';

const empty = z.strictObject({});

export const overlayRequests = {
  getOverlay: { params: empty, result: overlayStateSchema },
  setOverlay: { params: overlaySettingsSchema.partial(), result: overlayStateSchema },
  /** The address from before no longer works. */
  renewOverlayAddress: { params: empty, result: overlayStateSchema },
  /** Refused with 'invalid-state' within a second of the one before. */
  giveSyncMark: { params: empty, result: syncMarkSchema },
  /** Of the newest sessions, newest first. */
  listSyncMarks: { params: empty, result: z.strictObject({ marks: z.array(syncMarkSchema) }) },
  /**
   * On the overlay; ends by itself, or where a trial begins. Refused with 'invalid-state' while one is under way, and for trials that
   * were never kept.
   */
  playReplay: { params: z.strictObject({ replay: replaySchema }), result: empty },
  stopReplay: { params: empty, result: empty },
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;

export const overlayEvents = {
  overlayChanged: overlayStateSchema,
  /** SYNC_MARK_LEAD_MS before its instant. */
  syncMarkGiven: syncMarkSchema,
} as const satisfies Record<string, z.ZodType>;
