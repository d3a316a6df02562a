import { AppError } from '../../shared-lib/app-error.ts';
import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import type { Claim } from '../../shared-lib/catalogue/catalogue-model.ts';
import { judgeClaim } from '../../shared-lib/comparison/claim.ts';
import { toComparedTrial } from '../../shared-lib/comparison/compared-trial.ts';
import type { ClaimCheck } from '../../shared-lib/comparison/comparison-model.ts';
import type { ContenderLookup } from '../../shared-lib/comparison/contender-lookup.ts';
import { benchKey } from '../../shared-lib/comparison/like-for-like.ts';
import { describeComparedStep } from '../../shared-lib/comparison/measure-words.ts';
import { whyLeftOut } from '../../shared-lib/comparison/pulled-trial.ts';
import { pooledScatter } from '../../shared-lib/comparison/scatter.ts';
import { suspectCautions } from '../../shared-lib/comparison/suspect-cautions.ts';
import type { TrialMeasure } from '../../shared-lib/comparison/trial-measure.ts';
import { formatTorqueInBothUnits } from '../../shared-lib/format-quantity.ts';
import { senseOfResult } from '../../shared-lib/trial/judge-trial.ts';
import type { RequestHandlers } from '../services.ts';
import { listBenchItems } from '../storage/bench-item-repository.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import { createContenderLookup } from '../storage/contender-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { listScores, scoreOf, type StoredScore } from '../storage/scored-trials.ts';
import { listToolDetails } from '../storage/tool-details-repository.ts';
import { getTrial, newestFigures } from '../storage/trial-repository.ts';
import { contenderAmong } from './asked-pair.ts';
import { calibrationUncertainty } from './calibration-uncertainty.ts';
import { chooseForClaim, kindOfClaim } from './choose-for-claim.ts';
import type { ComparisonTools } from './comparison-tools.ts';

/** What makers claim of their tools against the trials that can bear it out. */
export function createClaimsPart({
  database,
  qualityGate,
}: Pick<ComparisonTools, 'database' | 'qualityGate'>): {
  readonly handlers: Pick<RequestHandlers, 'checkClaims'>;
} {
  const checkClaims = ({ toolId }: { toolId: string }): { checks: ClaimCheck[] } => {
    const tool = listBenchItems(database).tools.find(({ id }) => id === toolId);
    if (tool === undefined) {
      throw new AppError(
        'tool-not-found',
        'There is no such tool here. Nothing was changed. Choose one from the list of tools.',
        { toolId },
      );
    }
    const claims = listToolDetails(database).get(toolId)?.claims ?? [];
    if (claims.length === 0) return { checks: [] };
    const lookup = createContenderLookup(database);
    const gate = qualityGate();
    const counting = listScores(database, lookup).filter((score) => whyLeftOut(score, gate) === null);
    const own = scoresOfTool(counting, lookup, lookup.toolIdOf(toolId));
    return {
      checks: claims.map((claim) =>
        checkOne(database, { claim, toolName: tool.name, own, counting, lookup }),
      ),
    };
  };

  return { handlers: { checkClaims } };
}

/** Trials of the tool and of what was merged into it, whatever their setup. */
function scoresOfTool(
  scores: readonly StoredScore[],
  lookup: ContenderLookup,
  toolId: string,
): StoredScore[] {
  const toolOf = new Map<string, string | null>();
  for (const { key, toolNameFolded, isSimulated } of scores) {
    if (!toolOf.has(key)) toolOf.set(key, lookup.contenderOf(key, toolNameFolded, isSimulated).toolId);
  }
  return scores.filter(({ key }) => toolOf.get(key) === toolId);
}

interface ClaimOfTool {
  readonly claim: Claim;
  readonly toolName: string;
  /** Counting trials of the tool. */
  readonly own: readonly StoredScore[];
  /** Of everybody. */
  readonly counting: readonly StoredScore[];
  readonly lookup: ContenderLookup;
}

/** Precise enough for a torque beside its bounds: what is short of a claim by half of one unit must not read as the claim. */
function formatClaimed(torqueNm: number): string {
  return formatTorqueInBothUnits(torqueNm, Math.abs(torqueNm) < 100 ? 2 : 1);
}

function checkOne(database: ReadableDatabase, ofTool: ClaimOfTool): ClaimCheck {
  const { claim, toolName, own, counting, lookup } = ofTool;
  const stated = {
    claimId: claim.id,
    kind: claim.kind,
    claimedNm: claim.torqueNm,
    source: claim.source,
    statedOn: claim.statedOn,
  };
  const trials = chooseForClaim(own, claim.kind);
  const [newest] = trials.toReversed();
  const measure: TrialMeasure = {
    figure: claim.kind === 'fastening' ? 'sustainedTorque' : 'releasedPreload',
  };
  const values = trials.map((score) => scoreOf(score, measure));
  const valuesNm = values.filter((value) => value !== null);
  const judged = {
    claimedNm: claim.torqueNm,
    kind: claim.kind,
    words: { tool: toolName, format: formatClaimed },
  };
  if (newest === undefined) {
    const nothing = judgeClaim(
      {
        ...judged,
        valuesNm: [],
        calibrationAt: () => null,
        validToNm: null,
        pooledScatter: null,
      },
      distributionFunctions,
    );
    const isOtherKind = own.length > 0;
    return {
      ...stated,
      ...nothing,
      contender: null,
      step: null,
      count: 0,
      trialIds: [],
      ...(isOtherKind ? { verdict: 'notComparable' as const, sentence: otherKinds(ofTool) } : {}),
    };
  }
  const contender = contenderAmong(database, lookup, counting, newest.key);
  const notReleasedNm = claim.kind === 'fastening' ? [] : preloadsThatStayed(database, trials, values);
  const { calibrationId } = newest;
  const { senseSign } = getTrial(database, newest.trialId).conditions.transducer;
  const sense = senseOfResult(newest.step, senseSign);
  const found = judgeClaim(
    {
      ...judged,
      words: { ...judged.words, tool: contender.label },
      valuesNm,
      notReleasedNm,
      calibrationAt: (torqueNm) => calibrationUncertainty(database, calibrationId, sense, torqueNm),
      validToNm: getCalibration(database, calibrationId)[sense]?.validToNm ?? null,
      pooledScatter: scatterBeside(trials, counting, measure),
    },
    distributionFunctions,
  );
  return {
    ...stated,
    ...found,
    contender: { ...contender, isSimulated: newest.isSimulated },
    step: newest.step,
    count: valuesNm.length,
    cautions: [
      ...(newest.isSimulated ? ['Simulated pulls: this says nothing about a real tool.'] : []),
      ...found.cautions,
      ...suspectCautions(trials),
      ...valueCautions(claim.kind, valuesNm.length, values.length - valuesNm.length),
    ],
    trialIds: trials.map(({ trialId }) => trialId),
  };
}

function otherKinds({ claim, toolName, own }: ClaimOfTool): string {
  const steps = [...new Set(own.map(({ step }) => describeComparedStep(step)))].join(', ');
  return `Not comparable: a ${claim.kind} claim is checked with trials of kind ${kindOfClaim(claim.kind)} only, and ${toolName} has others (${steps}), which show another torque.`;
}

/** What stood before a breakaway that did not come. */
function preloadsThatStayed(
  database: ReadableDatabase,
  trials: readonly StoredScore[],
  values: readonly (number | null)[],
): number[] {
  return trials.flatMap(({ trialId }, index) => {
    if (values[index] !== null) return [];
    const breakaway = newestFigures(database, trialId)?.breakaway ?? null;
    return breakaway !== null && 'preloadNm' in breakaway && breakaway.releasedAtS === null
      ? breakaway.preloadNm
      : [];
  });
}

/** Of the setups of the same session, step, bench and calibration, for a tool that was pulled once. */
function scatterBeside(
  trials: readonly StoredScore[],
  counting: readonly StoredScore[],
  measure: TrialMeasure,
): ReturnType<typeof pooledScatter> {
  const [example] = trials;
  if (example === undefined || trials.length > 1) return null;
  const beside = counting.filter((score) => isBeside(score, example));
  return pooledScatter(
    beside.map((score) => toComparedTrial(score, scoreOf(score, measure), null)),
    distributionFunctions,
  );
}

function isBeside(score: StoredScore, example: StoredScore): boolean {
  const { kind, direction, plannedS } = example.step;
  return (
    score.sessionId === example.sessionId &&
    score.step.kind === kind &&
    score.step.direction === direction &&
    score.step.plannedS === plannedS &&
    score.calibrationId === example.calibrationId &&
    benchKey(score) === benchKey(example)
  );
}

function valueCautions(kind: Claim['kind'], count: number, withoutCount: number): string[] {
  if (kind === 'breakaway' || withoutCount === 0) return [];
  return [
    `${withoutCount} of ${count + withoutCount} runs have no sustained torque and are not in the mean. What is left may flatter the tool.`,
  ];
}
