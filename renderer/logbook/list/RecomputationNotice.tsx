import { useEffect } from 'react';
import { useRequest } from '../../api-client/use-request.ts';
import { Notice } from '../../ui/Notice.tsx';
import { recomputationSentence, waitingTrials } from './recomputation-sentence.ts';

/** Each trial that is done says so to every window; asking after each would be hundreds of questions. */
const ASK_AGAIN_MS = 2000;

/** Thin, above the list, for as long as trials are being measured anew by the program's newest definitions. */
export function RecomputationNotice() {
  const { result, reload } = useRequest('getRecomputation', {});
  const isUnderWay = result !== null && waitingTrials(result) > 0;
  useEffect(() => {
    if (!isUnderWay) return undefined;
    const timer = setInterval(reload, ASK_AGAIN_MS);
    return () => clearInterval(timer);
  }, [isUnderWay, reload]);
  const sentence = result === null ? null : recomputationSentence(result);
  if (sentence === null) return null;
  return <Notice kind={isUnderWay ? 'information' : 'caution'}>{sentence}</Notice>;
}
