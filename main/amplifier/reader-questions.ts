import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { createPendingRequests } from './pending-requests.ts';
import type { ReaderReport } from './reader-protocol.ts';
import type { ReaderSupervisor } from './reader-supervisor.ts';

type Answer = Extract<ReaderReport, { type: 'ports' | 'portsFailed' | 'recentBytes' }>;

export interface ReaderQuestions {
  listPorts(): Promise<SerialPortInfo[]>;
  /** Errors: AppError 'amplifier-not-connected' where no port has been open yet. */
  takeRecentBytes(): Promise<Uint8Array>;
  answered(report: Answer): void;
  /** No answer comes any more. */
  rejectAll(error: Error): void;
}

export function createReaderQuestions(reader: ReaderSupervisor): ReaderQuestions {
  const lists = createPendingRequests<SerialPortInfo[]>();
  const recentBytes = createPendingRequests<Uint8Array>();
  return {
    listPorts: () => lists.ask((requestId) => reader.send({ type: 'listPorts', requestId })),
    takeRecentBytes: () =>
      reader.isRunning()
        ? recentBytes.ask((requestId) => reader.send({ type: 'takeRecentBytes', requestId }))
        : Promise.reject(nothingHeard()),
    answered(report) {
      switch (report.type) {
        case 'ports':
          lists.resolve(report.requestId, [...report.ports]);
          return;
        case 'portsFailed':
          lists.reject(
            report.requestId,
            new AppError('port-failed', `The ports could not be listed: ${report.message}`),
          );
          return;
        case 'recentBytes':
          if (report.capture) recentBytes.resolve(report.requestId, report.capture);
          else recentBytes.reject(report.requestId, nothingHeard());
      }
    },
    rejectAll(error) {
      lists.rejectAll(error);
      recentBytes.rejectAll(error);
    },
  };
}

function nothingHeard(): AppError {
  return new AppError(
    'amplifier-not-connected',
    'No amplifier has been connected since the reader started, so there are no raw bytes. Connect it in Setup first.',
  );
}
