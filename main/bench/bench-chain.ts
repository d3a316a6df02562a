import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import type { AcquisitionService } from '../acquisition/acquisition-service.ts';
import type { AmplifierSession } from '../amplifier/amplifier-session.ts';
import type { SettingsService } from '../settings-service.ts';
import { amplifierName } from '../storage/amplifier-repository.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { ensureRealTransducer, getTransducer } from '../storage/transducer-repository.ts';
import type { Zero } from './read-zero.ts';

/** What lies between the tool and a figure of torque: transducer, amplifier, calibration, zero. */
export interface BenchChain {
  /** Null until one was connected or chosen. */
  transducer(): Transducer | null;
  /** The one in use, else the one that was chosen last, else the first real one. */
  activeTransducer(): Transducer;
  /** The same, passing over those of the simulated bench and of captures. */
  realTransducer(): Transducer;
  /** The calibration of the transducer, whatever amplifier it was made with. */
  calibration(): CalibrationVersion | null;
  /** The calibration as long as it holds for the amplifier that is connected. */
  validCalibration(): CalibrationVersion | null;
  /** The name of the amplifier that the calibration was made with, where another one is connected; else null. */
  calibratedWith(): string | null;
  zero(): Zero | null;
  setZero(zero: Zero | null): void;
  use(transducer: Transducer): void;
  /** The transducer, its calibration, or what the amplifier is known as has changed. */
  reload(): void;
}

export function createBenchChain(
  tools: {
    readonly amplifier: AmplifierSession;
    readonly acquisition: AcquisitionService;
    readonly settings: SettingsService;
    readonly database: WritableDatabase;
  },
  listeners: {
    onChange(): void;
    onOtherTransducer(): void;
    onOtherCapacity(transducerId: string): void;
  },
): BenchChain {
  const { amplifier, acquisition, settings, database } = tools;
  let transducer: Transducer | null = null;
  let calibration: CalibrationVersion | null = null;
  let zero: Zero | null = null;

  const calibratedWith = (): string | null => {
    const madeWith = calibration?.amplifierId ?? null;
    const target = amplifier.target();
    // A real one that is not known yet is not the one it was made with, either.
    if (madeWith === null || target?.source.kind !== 'serial' || target.amplifier?.id === madeWith) {
      return null;
    }
    return amplifierName(database, madeWith);
  };

  const validCalibration = (): CalibrationVersion | null => (calibratedWith() === null ? calibration : null);

  const apply = (): void => {
    const valid = validCalibration();
    acquisition.setScale(
      valid && zero && transducer
        ? { calibration: valid, zeroCounts: zero.counts, senseSign: transducer.senseSign }
        : null,
    );
    listeners.onChange();
  };

  const use = (next: Transducer): void => {
    if (transducer?.id !== next.id) {
      zero = null;
      listeners.onOtherTransducer();
    } else if (transducer.capacityNm !== null && transducer.capacityNm !== next.capacityNm) {
      listeners.onOtherCapacity(next.id);
    }
    transducer = next;
    calibration =
      next.activeCalibrationId === null ? null : getCalibration(database, next.activeCalibrationId);
    apply();
  };

  const realTransducer = (): Transducer =>
    transducer?.isSimulated === false
      ? transducer
      : ensureRealTransducer(database, settings.current().activeTransducerId);

  return {
    transducer: () => transducer,
    activeTransducer: () => transducer ?? realTransducer(),
    realTransducer,
    calibration: () => calibration,
    validCalibration,
    calibratedWith,
    zero: () => zero,
    setZero(next) {
      zero = next;
      apply();
    },
    use,
    reload() {
      if (transducer) use(getTransducer(database, transducer.id));
    },
  };
}
