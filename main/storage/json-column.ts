import { AppError } from '../../shared-lib/app-error.ts';

interface Schema<Value> {
  parse(value: unknown): Value;
}

/** Checked on the way in as well: what cannot be read back (a NaN becomes null in JSON) must not be stored. */
export function toJsonColumn<Value>(schema: Schema<Value>, value: Value): string {
  return JSON.stringify(schema.parse(value));
}

/** `what` names the content for the message: "settings", "figures of trial ...". */
export function fromJsonColumn<Value>(schema: Schema<Value>, text: string, what: string): Value {
  try {
    return schema.parse(JSON.parse(text));
  } catch (error) {
    throw new AppError(
      'database-damaged',
      `The stored ${what} cannot be read: they are not what this program writes. Nothing was changed, and everything else in the database stays usable. Put back the newest backup if you need them.`,
      { what },
      error,
    );
  }
}
