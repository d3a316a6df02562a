import { formatDuration, formatNumber } from '../format-quantity.ts';
import { describeSetup } from './describe-entry.ts';
import { countPulls, expandRunSheet, isSamePull } from './expand-run-sheet.ts';
import type { Plan } from './plan-model.ts';
import type { RunSheetDraft } from './run-sheet-model.ts';
import type { SheetFinding } from './run-sheet-requests.ts';
import { setupAsTested, type BenchItems } from './setup-as-tested.ts';
import type { Setup, SetupAsTested } from './setup-model.ts';
import { sheetDurationS } from './sheet-duration.ts';

/** Ours: more pulls than anybody makes by hand from one sheet, and it is still read at a glance. */
export const MOST_PULLS = 400;
/** Ours: what does not fit into a working day goes on tomorrow, on a bench that may have changed over night. */
const WORKING_DAY_S = 8 * 3600;

/** What speaks against a plan, whoever pulls it. Times of zero and the like never come so far: the schema refuses them. */
export function checkPlan(plan: Plan): SheetFinding[] {
  const { steps, reference } = plan;
  const findings = createFindings();
  const [firstStep] = steps;
  const breakaways = steps.filter(({ kind }) => kind === 'breakaway');

  if (breakaways.some(({ preloadNm }) => preloadNm === null)) {
    findings.caution(
      'preload-missing',
      'A breakaway step has no preload: the torque that stands before the pull is measured, but nothing says that it was the same for every tool. Enter the torque to which the fastener is tightened before.',
    );
  }
  if (steps.some(({ kind, preloadNm }) => kind !== 'breakaway' && preloadNm !== null)) {
    findings.stop(
      'preload-elsewhere',
      'A preload belongs to a breakaway step only; in the other kinds torque builds from zero. Make the step a breakaway step, or take the preload out.',
    );
  }
  if (steps.some((step, index) => steps.slice(0, index).some((earlier) => isSamePull(step, earlier)))) {
    findings.caution(
      'step-twice',
      'The same step stands in the plan twice. Its pulls are numbered as repeats; one step with more repeats says the same more plainly.',
    );
  }
  const endurance = steps.findIndex(({ kind }) => kind === 'endurance');
  if (endurance >= 0 && endurance < steps.length - 1) {
    findings.caution(
      'endurance-not-last',
      'An endurance step drains the pack, and the steps after it start with what is left. Put it last, or into a plan of its own.',
    );
  }
  if (firstStep?.kind === 'endurance' && (plan.conditioningPulls > 0 || pullsReference(plan))) {
    findings.caution(
      'endurance-first',
      'Conditioning and reference pulls are by the first step, and an endurance step drains the pack each time. Put a short step first.',
    );
  }
  if (firstStep?.kind === 'breakaway' && pullsReference(plan)) {
    findings.caution(
      'reference-breakaway',
      'Reference pulls are by the first step, and a breakaway has no sustained torque whose drift could be shown. Put another step first.',
    );
  }
  if (reference !== null && !pullsReference(plan)) {
    findings.caution(
      'reference-never',
      'The plan has a reference tool, but no pull of it: a drift will not show. Give it pulls at the start and the end at least.',
    );
  } else if (reference !== null && (reference.atStart === 0 || reference.atEnd === 0)) {
    findings.note(
      'reference-one-end',
      'The reference tool is not pulled at both the start and the end, where its pulls say most about a drift.',
    );
  }
  if (plan.rounds < plan.roundsToPublish) {
    findings.note(
      'rounds-to-publish',
      `The plan has ${countOf(plan.rounds, 'round')}, and a published result takes ${plan.roundsToPublish}: what comes of it is provisional.`,
    );
  }
  if (plan.rounds === 1) {
    findings.caution(
      'one-round',
      'One round says nothing about how much pulls scatter, so no difference can be told from chance. Plan two rounds at least.',
    );
  }
  if (steps.some(({ repeats }) => repeats > 1)) {
    findings.note(
      'repeats-in-a-row',
      'Repeats in one row share warmth, charge and grip and are not independent of each other; rounds tell more than repeats.',
    );
  }
  return findings.all();
}

/** What speaks against making a run sheet of a draft; with a `stop` among it, it is not made. The worst comes first. */
export function checkDraft(draft: RunSheetDraft, items: BenchItems): SheetFinding[] {
  const { plan, referenceSetupId, setupIds } = draft;
  const findings = createFindings(checkPlan(plan));
  const find = (setupId: string): Setup | undefined => items.setups.find(({ id }) => id === setupId);
  for (const setupId of new Set(setupIds)) checkSetup(find(setupId), items, findings);
  if (referenceSetupId !== null && !setupIds.includes(referenceSetupId)) {
    checkSetup(find(referenceSetupId), items, findings);
  }
  if (new Set(setupIds).size < setupIds.length) {
    findings.stop(
      'setup-twice',
      'The same setup is in the list twice, and its pulls could not be told apart. Take one out; more rounds give it more pulls.',
    );
  }
  if (setupIds.length === 1) {
    findings.note('one-setup', 'There is only one setup, so nothing to compare it with in this sheet.');
  }
  if (pullsReference(plan) && referenceSetupId === null) {
    findings.caution(
      'reference-not-chosen',
      'The plan pulls a reference tool, but none is chosen: its pulls are left out, and a drift of the day will not show. Choose a tool that is kept for this.',
    );
  }
  if (referenceSetupId !== null && !pullsReference(plan)) {
    findings.caution(
      'reference-not-pulled',
      'A reference tool is chosen, but the plan never pulls it. Add reference pulls to the plan, or choose none.',
    );
  }
  if (referenceSetupId !== null && setupIds.includes(referenceSetupId)) {
    findings.caution(
      'reference-is-tested',
      'The reference tool is one of the tested setups. It is pulled more often than the others then, and wear or warming of it looks like a drift of the bench. A tool of its own is better.',
    );
  }
  checkOrder(draft, findings);

  const pullCount = countPulls(
    draft,
    setupIds.length,
    referenceSetupId === null ? 'none' : setupIds.includes(referenceSetupId) ? 'tested' : 'apart',
  );
  if (pullCount > MOST_PULLS) {
    findings.stop(
      'too-many-pulls',
      `The sheet would have ${formatNumber(pullCount, 0)} pulls, more than the ${MOST_PULLS} that one sheet takes. Take fewer rounds, repeats or setups, or make several sheets.`,
    );
  }

  const known = setupIds.map((setupId) => asTested(find(setupId), items));
  const setups = known.filter((setup) => setup !== null);
  if (setups.length < setupIds.length) return findings.all();
  checkSupplies(plan, setups, findings);
  if (pullCount > MOST_PULLS) return findings.all();
  const reference = referenceSetupId === null ? null : asTested(find(referenceSetupId), items);
  const durationS = sheetDurationS(expandRunSheet(draft, setups, reference));
  if (durationS > WORKING_DAY_S) {
    findings.caution(
      'longer-than-a-day',
      `The sheet takes about ${formatDuration(durationS)}, longer than a working day. It can be left and gone on with, but what changes over night stands between its rounds: end the day after a whole round.`,
    );
  }
  return findings.all();
}

function checkSetup(setup: Setup | undefined, items: BenchItems, findings: Findings): void {
  if (setup === undefined) {
    findings.stop('setup-unknown', 'A setup of the list is not known here. Take it out and choose another.');
    return;
  }
  const tool = items.tools.find(({ id }) => id === setup.toolId);
  const pack = setup.packId === null ? null : items.packs.find(({ id }) => id === setup.packId);
  if (tool === undefined || pack === undefined) {
    findings.stop(
      'setup-incomplete',
      `A setup names a ${tool === undefined ? 'tool' : 'pack'} that is not there. Take it out of the list, or put the setup right.`,
    );
    return;
  }
  const name = describeSetup({ ...setup, toolName: tool.name, packName: pack?.name ?? null });
  if (tool.isArchived) {
    findings.stop(
      'tool-archived',
      `The tool of ${name} was put away. Take the setup out of the list, or bring the tool back first.`,
    );
  }
  if (pack?.isArchived === true) {
    findings.stop(
      'pack-archived',
      `The pack of ${name} was put away. Take the setup out of the list, or bring the pack back first.`,
    );
  }
  if (setup.isArchived) {
    findings.stop(
      'setup-archived',
      `The setup ${name} was put away. Take it out of the list, or bring it back first.`,
    );
  }
  if (tool.supply === 'battery' && pack === null) {
    findings.caution(
      'pack-missing',
      `${name} runs on a battery, but no pack is named: nobody will know later which one it was. Name the pack in the setup.`,
    );
  }
}

function checkOrder({ order, plan, setupIds }: RunSheetDraft, findings: Findings): void {
  const count = setupIds.length;
  if (count < 2) return;
  if (order === 'blocks') {
    findings.caution(
      'order-blocks',
      'In blocks a drift of the bench over the day looks like a difference between tools. Choose rounds, unless changing tools so often is out of the question.',
    );
  } else if (order === 'asListed') {
    findings.caution(
      'order-as-listed',
      'In the order of the list the lower setups always come later in a round, so a drift within a round counts against them. Choose rounds, unless the order itself is what you test.',
    );
  } else if (plan.rounds % count !== 0) {
    findings.note(
      'rounds-not-even',
      `With ${count} setups the places in a round come out even after ${count} rounds and its multiples; in ${countOf(plan.rounds, 'round')} a steady drift cancels only in part.`,
    );
  }
}

function checkSupplies(plan: Plan, setups: readonly SetupAsTested[], findings: Findings): void {
  const isOnBattery = setups.some(({ supply }) => supply === 'battery');
  if (isOnBattery && plan.steps.some(({ restS }) => restS === 0)) {
    findings.caution(
      'no-rest',
      'A step has no rest, and a battery tool that is pulled again at once is warmer and its pack lower each time. Give it a rest; 90 s is usual here.',
    );
  }
  const packNames = setups.flatMap(({ packId, packName }) => (packId === null ? [] : [packName ?? packId]));
  const shared = [...new Set(packNames.filter((name, index) => packNames.indexOf(name) !== index))];
  if (shared.length > 0) {
    findings.caution(
      'pack-shared',
      `${shared.join(', ')} serves more than one setup: it comes to the later ones warmer and emptier, and the rest of a setup is not a rest of the pack. Give each setup its own, or charge between.`,
    );
  }
  if (setups.some(({ supply }) => supply === 'air') && !plan.asks.includes('airPressure')) {
    findings.note(
      'pressure-not-asked',
      'An air tool is only as strong as its pressure, and the plan does not ask for it. Add the inlet pressure to what is asked.',
    );
  }
}

function asTested(setup: Setup | undefined, items: BenchItems): SetupAsTested | null {
  return setup === undefined ? null : setupAsTested(setup, items);
}

function pullsReference({ reference }: Plan): boolean {
  return reference !== null && reference.atStart + reference.perRound + reference.atEnd > 0;
}

function countOf(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`;
}

interface Findings {
  stop(code: string, sentence: string): void;
  caution(code: string, sentence: string): void;
  note(code: string, sentence: string): void;
  all(): SheetFinding[];
}

const SEVERITIES = ['stop', 'caution', 'note'] as const;

function createFindings(earlier: readonly SheetFinding[] = []): Findings {
  const found = [...earlier];
  const add = (severity: SheetFinding['severity']) => (code: string, sentence: string) => {
    found.push({ severity, code, sentence });
  };
  return {
    stop: add('stop'),
    caution: add('caution'),
    note: add('note'),
    all: () => SEVERITIES.flatMap((severity) => found.filter((finding) => finding.severity === severity)),
  };
}
