/** Fields are a closed list, so that neither a token nor a tester's notes can slip into a log. */
export interface LogFields {
  /** Ties an 'internal' answer to its line in the log. */
  readonly logId?: string;
  readonly requestName?: string;
  readonly code?: string;
  readonly path?: string;
  readonly address?: string;
  readonly count?: number;
  readonly durationMs?: number;
  readonly cause?: unknown;
}

export interface Logger {
  info(message: string, fields?: LogFields): void;
  warn(message: string, fields?: LogFields): void;
  error(message: string, fields?: LogFields): void;
}

/** One line of JSON per entry. */
export function createLogger(writeLine: (line: string) => void, now: () => Date = () => new Date()): Logger {
  const write = (level: string, message: string, fields: LogFields = {}): void => {
    const { cause, ...others } = fields;
    writeLine(
      JSON.stringify({
        time: now().toISOString(),
        level,
        message,
        ...others,
        ...(cause === undefined ? {} : { cause: describeCause(cause) }),
      }),
    );
  };
  return {
    info: (message, fields) => {
      write('info', message, fields);
    },
    warn: (message, fields) => {
      write('warn', message, fields);
    },
    error: (message, fields) => {
      write('error', message, fields);
    },
  };
}

function describeCause(cause: unknown): string {
  if (!(cause instanceof Error)) return String(cause);
  const ownCause = cause.cause === undefined ? '' : `\ncaused by ${describeCause(cause.cause)}`;
  return `${cause.stack ?? cause.message}${ownCause}`;
}
