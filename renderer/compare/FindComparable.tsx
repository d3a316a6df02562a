import { useEffect, useEffectEvent } from 'react';
import { AppError } from '../../shared-lib/app-error.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import type { CompleteChoice } from './choose-pair.ts';
import { comparedRequest } from './compared-request.ts';

interface FindComparableProps {
  readonly candidates: readonly CompleteChoice[];
  readonly onFound: (choice: CompleteChoice) => void;
}

/**
 * Looks for two that can be compared: which bench a trial was pulled on only the comparison knows. The
 * first pair is taken where none can be, so that its reasons are seen.
 */
export function FindComparable({ candidates, onFound }: FindComparableProps) {
  const connection = useConnection();
  const found = useEffectEvent(onFound);
  const text = JSON.stringify(candidates.map(comparedRequest));
  const look = useEffectEvent(async (isWanted: () => boolean): Promise<void> => {
    for (const candidate of candidates) {
      try {
        const { result } = await connection.request('compare', comparedRequest(candidate));
        if (!isWanted()) return;
        if (result !== null) {
          found(candidate);
          return;
        }
      } catch (refusal) {
        if (!(refusal instanceof AppError)) throw refusal;
        // The page asks for this pair again and says what came of it.
        if (isWanted()) found(candidate);
        return;
      }
    }
    const [first] = candidates;
    if (first !== undefined) found(first);
  });
  useEffect(() => {
    let isWanted = true;
    void look(() => isWanted);
    return () => {
      isWanted = false;
    };
  }, [text]);
  return <p role="status">Looking for two that can be compared.</p>;
}
