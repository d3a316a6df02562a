import type { SeededRandom } from './seeded-random.ts';
import type { SimulatedTool } from './simulated-tool.ts';

/** The joint that is tightened or loosened. Believable values, no source. */
const jointStiffnessNmPerRad = 600;
/** Share of a blow's energy that friction takes before the joint turns. Friction also keeps the joint from turning back. */
const frictionShare = 0.6;
const blowEnergyScatter = 0.02;
const blowIntervalScatter = 0.01;

export interface PullOfTool {
  readonly tool: SimulatedTool;
  readonly isReverse: boolean;
  readonly triggerS: number;
  /** Relative standard deviation of a run's ceiling. */
  readonly runScatter: number;
  readonly random: SeededRandom;
}

export interface Strike {
  readonly atS: number;
  /** Of the run's full energy. */
  readonly energyShare: number;
}

export interface StrikesOfRun {
  /** The torque this run would reach with blows of full energy without end: C = sqrt(2 E k). */
  readonly ceilingNm: number;
  readonly strikes: readonly Strike[];
}

/** The blows of one pull, as the hammer gathers speed, the supply sags and chance has it. */
export function strikesOf({ tool, isReverse, triggerS, runScatter, random }: PullOfTool): StrikesOfRun {
  const energyRatio = isReverse ? tool.reverseEnergyRatio : 1;
  const runRatio = Math.exp(runScatter * random.gaussian());
  const ceilingNm = Math.sqrt(2 * tool.blowEnergyJ * energyRatio * tool.driveStiffnessNmPerRad) * runRatio;
  const strikes: Strike[] = [];
  let atS = tool.spinUpS;
  while (atS <= triggerS) {
    const speed = 1 - Math.exp(-atS / tool.spinUpS);
    const sag = 1 - tool.sagShare * (1 - Math.exp(-atS / tool.sagS));
    const energyShare = speed ** 2 * sag * Math.max(0, 1 + blowEnergyScatter * random.gaussian());
    strikes.push({ atS, energyShare });
    atS += Math.max(0.2, 1 + blowIntervalScatter * random.gaussian()) / (tool.blowRateHz * speed);
  }
  return { ceilingNm, strikes };
}

/** a = (1 - friction) c / k: what a blow of full energy moves of the square of the joint's torque. */
export function gainOfBlow(tool: SimulatedTool): number {
  return ((1 - frictionShare) * jointStiffnessNmPerRad) / tool.driveStiffnessNmPerRad;
}
