import { formatDuration, formatNumber, formatTorqueInBothUnits } from '../format-quantity.ts';
import { describeSetup } from '../run-sheet/describe-entry.ts';
import { protectsSentence } from '../run-sheet/expand-run-sheet.ts';
import type { Plan } from '../run-sheet/plan-model.ts';
import type { RunSheet } from '../run-sheet/run-sheet-model.ts';
import { stepWords } from '../trial/words/pull-words.ts';
import type { Row } from './report-blocks.ts';
import type { ReportContext } from './report-context.ts';

/** What was fixed before the first pull: steps, rounds, order with its chance, rests, warm-up and the reference tool. */
export function sheetRows(sheet: RunSheet, { formatInstant }: Pick<ReportContext, 'formatInstant'>): Row[] {
  const { name, plan, order, seed, entries, createdAt, operator } = sheet;
  const setupIds = new Set(
    entries.filter(({ role }) => role === 'counted').map(({ setup }) => setup.setupId),
  );
  const counted = entries.filter(({ role }) => role === 'counted');
  const inState = (state: 'done' | 'skipped' | 'open') =>
    counted.filter((entry) => entry.state === state).length;
  return [
    {
      name: 'Run sheet',
      value: `“${name}”, made ${formatInstant(createdAt)}${operator === '' ? '' : ` by ${operator}`}`,
    },
    { name: 'Plan', value: `“${plan.name}”: ${plan.steps.map(planStepWords).join('; ')}` },
    {
      name: 'Rounds',
      value: `${formatNumber(plan.rounds, 0)}; a published result takes ${formatNumber(plan.roundsToPublish, 0)}`,
    },
    { name: 'Order', value: protectsSentence(order, setupIds.size) },
    { name: 'Its chance', value: `seed ${String(seed)}` },
    { name: 'Warm-up', value: conditioningWords(plan) },
    { name: 'Reference tool', value: referenceWords(sheet) },
    {
      name: 'Counted pulls',
      value: `${formatNumber(inState('done'), 0)} of ${formatNumber(counted.length, 0)} done, ${formatNumber(inState('skipped'), 0)} skipped, ${formatNumber(inState('open'), 0)} open`,
    },
  ];
}

function planStepWords({
  kind,
  direction,
  plannedS,
  repeats,
  restS,
  preloadNm,
}: Plan['steps'][number]): string {
  const step = stepWords({ toolName: '', kind, direction, plannedS });
  const preload =
    preloadNm === null ? '' : `, preload ${formatTorqueInBothUnits(preloadNm, preloadNm < 100 ? 1 : 0)}`;
  const often = repeats === 1 ? '' : `, ${formatNumber(repeats, 0)} times`;
  return `${step}${preload}${often}, then a rest of ${formatDuration(restS, 0)} at least`;
}

function conditioningWords({ conditioningPulls }: Plan): string {
  if (conditioningPulls === 0) return 'none';
  const pulls = conditioningPulls === 1 ? '1 pull' : `${formatNumber(conditioningPulls, 0)} pulls`;
  return `${pulls} with each setup before its first counted one, recorded and not counted`;
}

function referenceWords({ plan, referenceSetupId, entries }: RunSheet): string {
  const { reference } = plan;
  if (reference === null || referenceSetupId === null) {
    return 'none, so a drift of the day would not show';
  }
  const setup = entries.find(({ role }) => role === 'reference')?.setup;
  const name = setup === undefined ? '' : `${describeSetup(setup)}: `;
  return `${name}${formatNumber(reference.atStart, 0)} pulls at the start, ${formatNumber(reference.perRound, 0)} in each round, ${formatNumber(reference.atEnd, 0)} at the end`;
}
