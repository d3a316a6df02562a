import { z } from 'zod';

/** Bulk data in the contract. Typed without the kind of buffer, so that a view into a received frame fits as well. */
export const int32ArraySchema: z.ZodType<Int32Array> = z.instanceof(Int32Array);
export const float32ArraySchema: z.ZodType<Float32Array> = z.instanceof(Float32Array);
export const float64ArraySchema: z.ZodType<Float64Array> = z.instanceof(Float64Array);
export const uint8ArraySchema: z.ZodType<Uint8Array> = z.instanceof(Uint8Array);
