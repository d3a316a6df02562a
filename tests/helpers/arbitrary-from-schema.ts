import fc from 'fast-check';
import { z } from 'zod';

/**
 * Values that a schema of the contract accepts, so that tests can loop over the contract instead of repeating it.
 *
 * It knows the kinds of schema that the contract uses and refuses any other: a new kind is added here.
 */
export function arbitraryFromSchema(schema: z.core.$ZodType): fc.Arbitrary<unknown> {
  const accepts = schema as z.ZodType;
  // Bounds are met by construction; open bounds and refinements are left to chance, which finds them soon.
  return arbitraryOfKind(accepts).filter((value) => accepts.safeParse(value).success);
}

function arbitraryOfKind(schema: z.ZodType): fc.Arbitrary<unknown> {
  if (schema instanceof z.ZodObject) {
    const members = Object.entries<z.ZodType>(schema.shape);
    return fc.record(Object.fromEntries(members.map(([key, member]) => [key, arbitraryFromSchema(member)])), {
      requiredKeys: members.filter(([, member]) => !(member instanceof z.ZodOptional)).map(([key]) => key),
      noNullPrototype: true,
    });
  }
  if (schema instanceof z.ZodArray) return fc.array(arbitraryFromSchema(schema.element), { maxLength: 4 });
  if (schema instanceof z.ZodNullable) return fc.option(arbitraryFromSchema(schema.unwrap()), { nil: null });
  // A window sends whole values; the default is for what was stored before the member existed.
  if (schema instanceof z.ZodDefault) return arbitraryFromSchema(schema.unwrap());
  if (schema instanceof z.ZodOptional) return arbitraryFromSchema(schema.unwrap());
  if (schema instanceof z.ZodUnion) {
    return fc.oneof(...schema.options.map((option) => arbitraryFromSchema(option)));
  }
  if (schema instanceof z.ZodTuple) {
    return fc.tuple(...schema.def.items.map((item) => arbitraryFromSchema(item)));
  }
  if (schema instanceof z.ZodLiteral) return fc.constantFrom(...schema.values);
  if (schema instanceof z.ZodBoolean) return fc.boolean();
  const dates = fc.date({
    min: new Date('1990-01-01'),
    max: new Date('2090-01-01'),
    noInvalidDate: true,
  });
  if (schema instanceof z.ZodISODate) return dates.map((date) => date.toISOString().slice(0, 10));
  if (schema instanceof z.ZodISODateTime) return dates.map((date) => date.toISOString());
  if (schema instanceof z.ZodString) return stringFrom(schema);
  if (schema instanceof z.ZodNumber) return numberFrom(schema);
  const arrays: fc.Arbitrary<unknown>[] = [
    fc.uint8Array(),
    fc.int32Array(),
    fc.float32Array(),
    fc.float64Array(),
  ];
  const accepted = arrays.filter((array) => schema.safeParse(fc.sample(array, 1)[0]).success);
  if (accepted.length === 0) throw new Error(`No values are known for a schema of kind ${schema.type}.`);
  return fc.oneof(...accepted);
}

/** What a schema asks of its values beside their kind. */
function checksOf(schema: z.ZodType): readonly Readonly<Record<string, unknown>>[] {
  return (schema.def.checks ?? []).map((check) => ({ ...check._zod.def }));
}

function stringFrom(schema: z.ZodString): fc.Arbitrary<string> {
  const pattern = checksOf(schema).find(({ format }) => format === 'regex')?.['pattern'];
  if (pattern instanceof RegExp) return stringLike(pattern);
  const minLength = schema.minLength ?? 0;
  return fc.string({ minLength, maxLength: Math.min(schema.maxLength ?? Infinity, minLength + 40) });
}

/** The one that is asked for most by hand: strings made from any pattern take some milliseconds each. */
function stringLike(pattern: RegExp): fc.Arbitrary<string> {
  if (pattern.source !== '^[A-Z]{3}$') return fc.stringMatching(pattern);
  return fc.string({
    unit: fc.constantFrom(...Array.from('ABCDEFGHIJKLMNOPQRSTUVWXYZ')),
    minLength: 3,
    maxLength: 3,
  });
}

function numberFrom(schema: z.ZodNumber): fc.Arbitrary<number> {
  const min = Math.max(schema.minValue ?? -Infinity, -1e9);
  const max = Math.min(schema.maxValue ?? Infinity, 1e9);
  if (schema.format?.includes('int') === true) return fc.integer({ min, max });
  const step = checksOf(schema).find(({ check }) => check === 'multiple_of')?.['value'];
  if (typeof step === 'number') {
    return fc
      .integer({ min: Math.ceil(min / step), max: Math.floor(max / step) })
      .map((times) => times * step);
  }
  // JSON has no minus zero.
  return fc.double({ min, max, noNaN: true }).map((value) => (value === 0 ? 0 : value));
}
