import type { RequestParams } from '../../shared-lib/api-contract.ts';
import type { ComparedPair } from '../../shared-lib/comparison/comparison-requests.ts';
import type { CompleteChoice } from './choose-pair.ts';

/** What is asked for two, whatever the measure. */
export function comparedPair({ step, a, b, sessionIds, isForced }: CompleteChoice): ComparedPair {
  return { step, a, b, sessionIds: sessionIds === null ? null : [...sessionIds], isForced };
}

export function comparedRequest(choice: CompleteChoice): RequestParams<'compare'> {
  return { ...comparedPair(choice), measure: choice.measure };
}
