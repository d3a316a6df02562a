import { useCallback, useEffect, useRef, useState } from 'react';
import type { AppError } from '../../shared-lib/app-error.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';
import { type ChosenFile, ChosenFileKeeper } from './chosen-file-keeper.ts';
import { uploadFile } from './upload-file.ts';

export interface FileChoice {
  readonly chosen: ChosenFile | null;
  /** Instead of the one before, which is dropped where it was handed over. */
  readonly choose: (next: ChosenFile | null) => void;
  /** Hands a file over, then it is the chosen one. */
  readonly hand: (file: File) => void;
  /** The share that has gone over, 0 to 1; null: nothing is being handed over. */
  readonly fraction: number | null;
  readonly isHanding: boolean;
  readonly error: AppError | null;
  /** What was handed over is not dropped before this has ended, even where another is chosen or the page is left. */
  readonly needFor: (work: Promise<unknown>) => void;
}

/** One file that a page asks for. What was handed over for it goes with the choice, and with the page. */
export function useChosenFile(): FileChoice {
  const connection = useConnection();
  const [keeper] = useState(() => new ChosenFileKeeper(connection));
  const upload = useAction();
  const [fraction, setFraction] = useState<number | null>(null);
  const [chosen, setChosen] = useState<ChosenFile | null>(null);
  const isLeft = useRef(false);
  useEffect(() => {
    isLeft.current = false;
    return () => {
      isLeft.current = true;
      void keeper.keep(null);
    };
  }, [keeper]);

  const choose = (next: ChosenFile | null): void => {
    void keeper.keep(next);
    setChosen(next);
  };
  const hand = (file: File): void => {
    choose(null);
    setFraction(0);
    void upload
      .run(async () => {
        const source = await uploadFile(connection, file, {
          onProgress: setFraction,
          isCancelled: () => isLeft.current,
        });
        choose({ source, name: file.name });
      })
      .finally(() => setFraction(null));
  };
  const needFor = useCallback((work: Promise<unknown>) => keeper.needFor(work), [keeper]);

  return { chosen, choose, hand, fraction, isHanding: upload.isBusy, error: upload.error, needFor };
}
