import { createTorqueConverter } from '../../shared-lib/calibration/apply-calibration.ts';
import { meanOfPresent } from '../../shared-lib/signal/mean-of-present.ts';
import { joinBlocks } from '../../shared-lib/signal/trim-block.ts';
import type { AcquisitionService } from '../acquisition/acquisition-service.ts';
import type { ArmedTrial } from './armed-trial.ts';

const STANDING_S = 0.5;

/** The torque that stands now, positive forward: the mean of the last half second; null where half of it is not there. */
export function measureStandingNm(
  acquisition: Pick<AcquisitionService, 'blocksFrom' | 'lastSlot'>,
  { conditions, calibration, sampleRateHz }: ArmedTrial,
): number | null {
  const slots = Math.ceil(STANDING_S * sampleRateHz);
  const lastSlot = acquisition.lastSlot();
  const record = lastSlot === null ? null : joinBlocks(acquisition.blocksFrom(lastSlot + 1 - slots));
  if (!record) return null;
  const converter = createTorqueConverter({
    calibration,
    zeroCounts: conditions.zeroCounts,
    senseSign: conditions.transducer.senseSign,
  });
  const torqueNm = converter.convertBlock(record.counts, record.gaps).filter((value) => !Number.isNaN(value));
  return 2 * torqueNm.length < slots ? null : meanOfPresent(torqueNm);
}
