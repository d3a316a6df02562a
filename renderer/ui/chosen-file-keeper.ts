import type { Connection } from '../../shared-lib/api-contract.ts';
import type { Source } from '../../shared-lib/exchange/exchange-requests.ts';
import { dropUploaded } from './upload-file.ts';

/** A file that was handed over, or one on the machine of the program. */
export interface ChosenFile {
  readonly source: Source;
  readonly name: string;
}

/** Keeps the file that is chosen with the services, and has it dropped there once nobody needs it. */
export class ChosenFileKeeper {
  readonly #connection: Connection;
  #kept: { readonly file: ChosenFile; readonly needs: Promise<void>[] } | null = null;

  constructor(connection: Connection) {
    this.#connection = connection;
  }

  /** Lets go of the one before; it is dropped when the last work that needs it has ended. */
  async keep(next: ChosenFile | null): Promise<void> {
    const before = this.#kept;
    this.#kept = next === null ? null : { file: next, needs: [] };
    if (before === null) return;
    await Promise.all(before.needs);
    await dropUploaded(this.#connection, before.file.source);
  }

  /** The file that is kept now stays at least until this has ended, well or badly. */
  needFor(work: Promise<unknown>): void {
    const end = (): void => undefined;
    // Whoever asked for the work hears of its failure.
    this.#kept?.needs.push(work.then(end, end));
  }
}
