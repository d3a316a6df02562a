import { AppError, type ErrorCode, type ErrorDetails } from '../../shared-lib/app-error.ts';
import type { CommandType, RecordingCommand, RecordingResults } from './recording-commands.ts';

/** What passes between main and the writer thread, by structured clone. */
export interface WriterRequest {
  readonly id: number;
  readonly command: RecordingCommand;
}

export type WriterReply =
  | { readonly id: number; readonly result: RecordingResults[CommandType] }
  | { readonly id: number; readonly error: CarriedError };

/** Structured clone keeps neither class nor code of an error. */
export interface CarriedError {
  readonly code: ErrorCode | null;
  readonly message: string;
  readonly details: ErrorDetails;
  readonly stack: string;
}

export function toCarriedError(error: unknown): CarriedError {
  const stack = error instanceof Error ? (error.stack ?? error.message) : String(error);
  if (error instanceof AppError) {
    return { code: error.code, message: error.message, details: error.details, stack };
  }
  return { code: null, message: error instanceof Error ? error.message : stack, details: {}, stack };
}

/** The error as it was thrown; what was no AppError there is a bug here too. */
export function fromCarriedError({ code, message, details, stack }: CarriedError): Error {
  const error = code === null ? new Error(message) : new AppError(code, message, details);
  error.stack = stack;
  return error;
}
