import { describe, expect, it } from 'vitest';
import { whyNotMeasured } from '../../../../shared-lib/comparison/measure-words.ts';
import { kindSchema } from '../../../../shared-lib/trial/step-model.ts';
import { measureKey } from '../../../../shared-lib/comparison/measure-key.ts';
import {
  firstMeasure,
  fitsStep,
  measureDisplay,
  measureName,
  measureQuestion,
  measuresOf,
} from '../../../../shared-lib/comparison/words/measure-choices.ts';
import { torqueDisplay } from '../../../../renderer/ui/torque-display.ts';
import { readyStatus } from '../../../helpers/scripted-bench.ts';
import { forward5 } from './compare-samples.ts';

const newtonMetres = torqueDisplay('Nm', readyStatus);
const footPounds = torqueDisplay('ftLbf', readyStatus);
const thin = (text: string): string => text.replaceAll('\u202f', ' ');

describe('what trials of a step can be compared by', () => {
  it('begins with what its kind is about', () => {
    const first = [...kindSchema.values].map((kind) => firstMeasure({ ...forward5, kind }).figure);
    expect(first).toEqual(['sustainedTorque', 'releasedPreload', 'stallTorque', 'lastTorque']);
  });

  it('has the instants within the planned time and the levels of Setup', () => {
    expect(measuresOf(forward5, [200, 400]).map(measureKey)).toEqual([
      'sustainedTorque',
      'torqueAt.1',
      'torqueAt.2',
      'torqueAt.3',
      'torqueAt.5',
      'finalTorque',
      'timeTo90Percent',
      'timeToLevel.200',
      'timeToLevel.400',
    ]);
  });

  it.each([...kindSchema.values])('offers of kind %s nothing that the comparison would refuse', (kind) => {
    for (const plannedS of [0.5, 3, 60]) {
      const step = { ...forward5, kind, plannedS };
      const refused = measuresOf(step, [400]).map((measure) => whyNotMeasured(step, measure));
      expect(refused.filter((why) => why !== null)).toEqual([]);
    }
  });

  it('takes any level, but no instant after the end and no figure of another kind', () => {
    expect(fitsStep({ figure: 'timeToLevel', levelNm: 333 }, forward5)).toBe(true);
    expect(fitsStep({ figure: 'torqueAt', atS: 10 }, forward5)).toBe(false);
    expect(fitsStep({ figure: 'stallTorque' }, forward5)).toBe(false);
    expect(fitsStep({ figure: 'sustainedTorque' }, { ...forward5, kind: 'breakaway' })).toBe(false);
  });
});

describe('the words of a measure', () => {
  it('are questions as people ask them, levels in the chosen unit', () => {
    const ask = (levelNm: number) => measureQuestion({ figure: 'timeToLevel', levelNm }, newtonMetres);
    expect(thin(ask(400))).toBe('Who reaches 400 N·m first?');
    expect(thin(measureQuestion({ figure: 'timeToLevel', levelNm: 400 }, footPounds))).toBe(
      'Who reaches 295.0 ft·lbf (400 N·m) first?',
    );
    expect(thin(measureQuestion({ figure: 'torqueAt', atS: 5 }, newtonMetres))).toBe('Who is ahead at 5 s?');
    expect(measureQuestion({ figure: 'sustainedTorque' }, newtonMetres)).toBe('Who holds more torque?');
  });

  it('are other words for each measure', () => {
    const all = [...kindSchema.values].flatMap((kind) => measuresOf({ ...forward5, kind }, [200, 400]));
    const measures = [...new Map(all.map((measure) => [measureKey(measure), measure])).values()];
    for (const words of [measureName, measureQuestion]) {
      expect(new Set(measures.map((measure) => words(measure, newtonMetres))).size).toBe(measures.length);
    }
  });

  it('write torque in the chosen unit and times in seconds', () => {
    const torque = measureDisplay({ figure: 'sustainedTorque' }, footPounds);
    expect(thin(torque.format(100))).toBe('73.8 ft·lbf');
    expect(torque.toShown(100)).toBeCloseTo(73.756, 3);
    const time = measureDisplay({ figure: 'timeTo90Percent' }, footPounds);
    expect(thin(time.format(0.8254))).toBe('0.825 s');
    expect(time.toShown(2)).toBe(2);
  });
});
