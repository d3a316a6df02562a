import { z } from 'zod';
import { AppError } from '../shared-lib/app-error.ts';
import {
  calibrationSenseSchema,
  type CalibrationSense,
} from '../shared-lib/calibration/calibration-model.ts';

/** How counts become torque, for `npx proofarm measure --calibration FILE`. */
export interface CalibrationFile {
  readonly zeroCounts: number;
  /** `validToNm` infinite: not stated. */
  readonly forward: CalibrationSense | null;
  readonly reverse: CalibrationSense | null;
  readonly senseSign: 1 | -1;
  /** Null: not stated, so that the rails of the converter are not looked for. */
  readonly converterBits: number | null;
}

const senseSchema = calibrationSenseSchema.extend({
  validToNm: z.number().positive().optional(),
});
const fileSchema = z.strictObject({
  zeroCounts: z.number(),
  forward: senseSchema.nullable().default(null),
  reverse: senseSchema.nullable().default(null),
  senseSign: z.literal([1, -1]).default(1),
  converterBits: z.int().min(8).max(32).nullable().default(null),
});

/** Errors: AppError 'input-out-of-range' with the place in the file and what is wrong there. */
export function readCalibrationFile(text: string, fileName: string): CalibrationFile {
  const parsed = fileSchema.safeParse(parseJson(text, fileName));
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    const place = issue?.path.join('.') ?? '';
    throw refusal(fileName, `${place === '' ? '' : `${place}: `}${issue?.message ?? 'not a calibration'}`);
  }
  const { forward, reverse } = parsed.data;
  if (forward === null && reverse === null) {
    throw refusal(fileName, 'neither forward nor reverse has a gain');
  }
  if (forward !== null && reverse !== null && forward.gainNmPerCount * reverse.gainNmPerCount < 0) {
    throw refusal(
      fileName,
      'the gains of forward and reverse have different signs; a load the other way lowers the counts by itself',
    );
  }
  return { ...parsed.data, forward: completed(forward), reverse: completed(reverse) };
}

function completed(sense: z.infer<typeof senseSchema> | null): CalibrationSense | null {
  return sense === null ? null : { ...sense, validToNm: sense.validToNm ?? Number.POSITIVE_INFINITY };
}

function parseJson(text: string, fileName: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    throw refusal(fileName, error.message);
  }
}

function refusal(fileName: string, what: string): AppError {
  return new AppError(
    'input-out-of-range',
    `${fileName} cannot be read as a calibration: ${what}. See npx proofarm measure --help for its form.`,
  );
}
