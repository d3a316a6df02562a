import { z } from 'zod';
import { AppError } from '../app-error.ts';
import { amplifierProfileSchema, type AmplifierProfile } from './amplifier-profile.ts';
import { checkProfile } from './check-profile.ts';
import { createLineDecoder } from './decode-amplifier-line.ts';
import { exampleLine } from './format-amplifier-line.ts';

const FORMAT = 'amplifier-profile';
const VERSION = 1;
/** The longest profile takes some 10 000 characters. */
const LONGEST_FILE = 100_000;

const envelopeSchema = z.object({ format: z.literal(FORMAT), version: z.int().min(1) });
const fileSchema = z.strictObject({
  format: z.literal(FORMAT),
  version: z.literal(VERSION),
  profile: amplifierProfileSchema,
});

/** A profile as JSON for other benches: indented, and its settings always in the same order. */
export function writeProfileFile(profile: AmplifierProfile): string {
  // The schema rebuilds every object in its own order.
  const ordered = fileSchema.parse({ format: FORMAT, version: VERSION, profile });
  return `${JSON.stringify(ordered, null, 2)}\n`;
}

/**
 * Reads a profile that was written by `writeProfileFile`, or by hand. What has a default may be left out. An example that
 * the profile does not read is made anew. The id is the one in the file: whoever keeps the profile gives it one of its own.
 *
 * Errors: AppError 'profile-invalid' with every reason, each naming its setting; nothing of the file is then used.
 */
export function readProfileFile(text: string): AmplifierProfile {
  if (text.length > LONGEST_FILE) {
    throw unusable('it is far too long for a profile. Choose a file that was exported here.');
  }
  const content = parseJson(text);
  const envelope = envelopeSchema.safeParse(content);
  if (!envelope.success) {
    throw unusable(
      `it is no profile of an amplifier: "format" must be "${FORMAT}" and "version" a whole number. Choose a file that was exported here.`,
    );
  }
  if (envelope.data.version > VERSION) {
    throw unusable(
      `it has version ${envelope.data.version}, and this program knows versions up to ${VERSION}. Update the program, or export the profile from an older one.`,
    );
  }

  const parsed = fileSchema.safeParse(content);
  if (!parsed.success) throw unusable(listReasons(parsed.error.issues.map(describeIssue)));
  const { profile } = parsed.data;
  const errors = checkProfile(profile).filter(({ severity }) => severity === 'error');
  if (errors.length > 0) throw unusable(errors.map(({ sentence }) => sentence).join(' '));
  return isReadable(profile) ? profile : { ...profile, example: exampleLine(profile) };
}

function isReadable(profile: AmplifierProfile): boolean {
  const into = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
  return createLineDecoder(profile)(profile.example, into) === null;
}

function parseJson(text: string): unknown {
  try {
    // Some editors begin a file with a byte order mark.
    return JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    throw unusable(`it is not whole JSON (${error.message}). Export it again, or mend it in an editor.`);
  }
}

function describeIssue({ path, message }: z.core.$ZodIssue): string {
  return `${path.length === 0 ? 'the file' : `"${path.join('.')}"`}: ${message}`;
}

function listReasons(reasons: readonly string[]): string {
  return `these settings cannot be used: ${reasons.join('; ')}. Correct them in the file and import it again.`;
}

function unusable(reason: string): AppError {
  return new AppError(
    'profile-invalid',
    `The file was not imported, and nothing was changed, because ${reason}`,
  );
}
