import { describe, expect, it } from 'vitest';
import { recordDecision } from '../../main/storage/trial-repository.ts';
import { fieldPlaceSchema } from '../../shared-lib/comparison/comparison-model.ts';
import { decision, figures } from './storage-support/bench-fixture.ts';
import { forwardStep, keyOf } from './storage-support/compared-bench.ts';
import { AFTER_ALL_TRIALS, checkAt } from './storage-support/failed-check.ts';
import { openComparison } from './storage-support/opened-comparison.ts';

const asked = {
  step: forwardStep,
  measure: { figure: 'sustainedTorque' },
  sessionIds: null,
  keys: null,
} as const;

describe('all contenders of a step', () => {
  it('stand in order with the places that each could have, Tukey-Kramer over all pairs', async () => {
    const { bench, handlers } = openComparison();
    for (const round of [1, 2, 3, 4]) {
      bench.pull({ tool: 'hollin', sustainedNm: 300 + (round % 2), round });
      bench.pull({ tool: 'tarnwick', sustainedNm: 301 - (round % 3), round });
      bench.pull({ tool: 'brindlow', sustainedNm: 400 + (round % 3), round });
    }
    const { places, scatter, cautions } = await handlers.compareField(asked);
    for (const place of places) expect(fieldPlaceSchema.parse(place)).toEqual(place);
    expect(
      places.map(({ contender, place, bestPlace, worstPlace }) => [
        contender.label,
        place,
        bestPlace,
        worstPlace,
      ]),
    ).toEqual([
      ['Brindlow B4', 1, 1, 1],
      ['Hollin H5', 2, 2, 3],
      ['Tarnwick T6', 3, 2, 3],
    ]);
    expect(places[1]?.notSeparatedFrom).toEqual([keyOf('tarnwick')]);
    expect(scatter.standardDeviation).toBeGreaterThan(0);
    expect(cautions[0]).toBe(
      'It holds for Demo transducer (simulated), 80\u202fSa/s, measured over 101\u202fms, measures of definition 2.',
    );
  });

  it('are placed on the bench that most have; who is not there is named with the reason', async () => {
    const { bench, handlers, database } = openComparison();
    bench.session('session-real', '2026-04-03T08:00:00.000Z', true);
    for (const nm of [300, 301, 303]) {
      bench.pull({ tool: 'hollin', session: 'session-real', isReal: true, sustainedNm: nm });
      bench.pull({ tool: 'tarnwick', session: 'session-real', isReal: true, sustainedNm: nm + 9 });
      bench.pull({ tool: 'tarnwick', sustainedNm: nm });
    }
    bench.pull({ tool: 'brindlow', id: 'voided', session: 'session-real', isReal: true });
    recordDecision(database, 'voided', decision('voided'));
    const { places, cautions } = await handlers.compareField(asked);
    expect(places.map(({ contender, count }) => [contender.label, count])).toEqual([
      ['Tarnwick T6', 3],
      ['Hollin H5', 3],
    ]);
    expect(cautions).toContain('Brindlow B4 has no place: voided.');

    // The simulated ones, once they are asked for.
    const simulated = await handlers.compareField({ ...asked, sessionIds: ['session-day-1'] });
    expect(simulated.places.map(({ contender }) => contender.label)).toEqual(['Tarnwick T6']);
    expect(simulated.cautions).toContain('Hollin H5 has no place: it has no trial of this step here.');
  });

  it('say where a failed check marks their trials, and where several calibrations read them', async () => {
    const { bench, handlers, database } = openComparison();
    for (const round of [1, 2]) {
      bench.pull({ tool: 'hollin', sustainedNm: 300 + (round % 2), round });
      bench.pull({ tool: 'tarnwick', sustainedNm: 301 - (round % 3), round });
    }
    const said = async () => (await handlers.compareField(asked)).cautions.join(' ');
    expect(await said()).not.toMatch(/suspect|calibrations/);
    checkAt(database, AFTER_ALL_TRIALS, 'failed');
    expect(await said()).toContain('4 of 4 trials are suspect');
    bench.pull({
      tool: 'tarnwick',
      figures: { ...figures(333), definitionVersion: 2, calibrationId: 'calibration-real' },
    });
    expect(await said()).toContain(
      'The trials are read by 2 calibrations. The uncertainty of their scales does not cancel between them and is not in the ranges.',
    );
  });

  it('keep their stored figures where onset levels differ, which is said', async () => {
    const { bench, handlers } = openComparison();
    for (const tool of ['hollin', 'tarnwick'] as const) bench.pull({ tool });
    bench.pull({ tool: 'brindlow', conditions: { onsetLevelNm: 20 } });
    const { cautions } = await handlers.compareField(asked);
    expect(cautions.join(' ')).toContain('15.0\u202fN·m');
    const atLevel = await handlers.compareField({
      ...asked,
      measure: { figure: 'timeToLevel', levelNm: 77 },
    });
    expect(atLevel.places).toEqual([]);
    expect(atLevel.cautions.join(' ')).toContain(
      'Of 3 of 3 trials the time to this torque was not asked for',
    );
  });
});
