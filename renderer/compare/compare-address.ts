import { measureKey } from '../../shared-lib/comparison/measure-key.ts';
import {
  type ComparedStep,
  comparedStepSchema,
  contenderKeySchema,
  type TrialMeasure,
  trialMeasureSchema,
} from '../../shared-lib/comparison/trial-measure.ts';

/** What the address says of a comparison; what it leaves out is null and is chosen for the reader. */
export interface AddressedChoice {
  readonly step: ComparedStep | null;
  readonly a: string | null;
  readonly b: string | null;
  readonly measure: TrialMeasure | null;
  /** Null: the newest session that both have. */
  readonly sessionIds: readonly string[] | null;
  readonly isForced: boolean;
}

export const COMPARE_ADDRESS = '/compare';

/** As many as the contract takes. */
const MOST_SESSIONS = 200;

/** "tighten.forward.5": short enough to be read in the address, and one step has one text. */
export function stepKey({ kind, direction, plannedS }: ComparedStep): string {
  return `${kind}.${direction}.${plannedS}`;
}

export function readStepKey(text: string): ComparedStep | null {
  const [kind, direction, ...time] = text.split('.');
  const read = comparedStepSchema.safeParse({ kind, direction, plannedS: Number(time.join('.')) });
  return read.success ? read.data : null;
}

export function readMeasureKey(text: string): TrialMeasure | null {
  const [figure, ...rest] = text.split('.');
  const number = Number(rest.join('.'));
  const read = trialMeasureSchema.safeParse(
    figure === 'torqueAt'
      ? { figure, atS: number }
      : figure === 'timeToLevel'
        ? { figure, levelNm: number }
        : { figure: text },
  );
  return read.success ? read.data : null;
}

/** A part that the contract does not know, as in an address typed by hand, counts as left out. */
export function readChoice(params: URLSearchParams): AddressedChoice {
  const key = (name: string): string | null => {
    const read = contenderKeySchema.safeParse(params.get(name));
    return read.success ? read.data : null;
  };
  const sessionIds = params
    .getAll('session')
    .filter((id) => id.length > 0 && id.length <= 64)
    .slice(0, MOST_SESSIONS);
  return {
    step: readStepKey(params.get('step') ?? ''),
    a: key('a'),
    b: key('b'),
    measure: readMeasureKey(params.get('measure') ?? ''),
    sessionIds: sessionIds.length === 0 ? null : sessionIds,
    isForced: params.get('forced') === 'yes',
  };
}

export function choiceParams(choice: AddressedChoice): URLSearchParams {
  const { step, a, b, measure, sessionIds, isForced } = choice;
  const params = new URLSearchParams();
  if (step !== null) params.set('step', stepKey(step));
  if (a !== null) params.set('a', a);
  if (b !== null) params.set('b', b);
  if (measure !== null) params.set('measure', measureKey(measure));
  for (const id of sessionIds ?? []) params.append('session', id);
  if (isForced) params.set('forced', 'yes');
  return params;
}

const nothingChosen: AddressedChoice = {
  step: null,
  a: null,
  b: null,
  measure: null,
  sessionIds: null,
  isForced: false,
};

/** The comparison with what is given, for a link from elsewhere; the rest is chosen as the place is opened. */
export function compareAddress(choice: Partial<AddressedChoice> = {}): string {
  const params = choiceParams({ ...nothingChosen, ...choice });
  return params.size === 0 ? COMPARE_ADDRESS : `${COMPARE_ADDRESS}?${params.toString()}`;
}
