import type { Ask, Preparation, SetupAsTested } from '../../shared-lib/run-sheet/setup-model.ts';
import type { Confirmation } from '../storage/run-sheet-events.ts';

const nothingFound: Preparation = {
  packRestedV: null,
  packTemperatureC: null,
  toolTemperatureC: null,
  fastener: null,
  fastenerPullsSinceNew: null,
  lubricant: null,
  inletPressureKpa: null,
  hoseBoreMm: null,
  isCarriedOver: false,
};

/** What is confirmed or put right when a setup is taken in hand, so that nobody has to enter the same thing twice. */
export interface PrefillSources {
  readonly setup: Pick<SetupAsTested, 'setupId' | 'packId'>;
  readonly asks: readonly Ask[];
  /** Newest first. */
  readonly confirmations: readonly Confirmation[];
  /** Pulls on a fastener since an instant. */
  fastenerPulls(fastener: string, since: string): number;
}

/**
 * Only what is asked for. Of tool and pack what was found last with this setup, the volts of the pack by whichever came
 * last: taken up, or taken off and at rest again. The fastener is that of the rig, whatever tool pulled on it last.
 */
export function prefillPreparation(sources: PrefillSources): Preparation {
  const { setup, asks, confirmations } = sources;
  const ofSetup = confirmations.find(({ confirmed }) => confirmed.setupId === setup.setupId);
  const last = ofSetup?.confirmed.preparation ?? nothingFound;
  const asked = (ask: Ask): boolean => asks.includes(ask);
  const onRig = confirmations.find(({ confirmed }) => confirmed.preparation.fastener !== null);
  const lubricated = confirmations.find(({ confirmed }) => confirmed.preparation.lubricant !== null);
  const found = {
    packRestedV: asked('packVolts') ? lastPackVolts(setup.packId, confirmations) : null,
    packTemperatureC: asked('packTemperature') ? last.packTemperatureC : null,
    toolTemperatureC: asked('toolTemperature') ? last.toolTemperatureC : null,
    fastener: asked('fastener') ? (onRig?.confirmed.preparation.fastener ?? null) : null,
    fastenerPullsSinceNew: asked('fastener') && onRig ? pullsSinceNew(onRig.confirmed, sources) : null,
    lubricant: asked('lubricant') ? (lubricated?.confirmed.preparation.lubricant ?? null) : null,
    inletPressureKpa: asked('airPressure') ? last.inletPressureKpa : null,
    hoseBoreMm: asked('airPressure') ? last.hoseBoreMm : null,
  };
  return { ...found, isCarriedOver: Object.values(found).some((value) => value !== null) };
}

/** Of the fastener as it is now: what was known when it was confirmed, and every pull since. */
export function pullsSinceNew(
  { preparation, at }: Confirmation['confirmed'],
  { fastenerPulls }: Pick<PrefillSources, 'fastenerPulls'>,
): number | null {
  const { fastener, fastenerPullsSinceNew } = preparation;
  if (fastener === null || fastenerPullsSinceNew === null) return null;
  return fastenerPullsSinceNew + fastenerPulls(fastener, at);
}

function lastPackVolts(packId: string | null, confirmations: readonly Confirmation[]): number | null {
  if (packId === null) return null;
  for (const { confirmed, packId: inHand, packTakenOff } of confirmations) {
    if (inHand === packId && confirmed.preparation.packRestedV !== null) {
      return confirmed.preparation.packRestedV;
    }
    if (packTakenOff?.packId === packId) return packTakenOff.restedV;
  }
  return null;
}
