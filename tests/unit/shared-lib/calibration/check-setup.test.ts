import { describe, expect, it } from 'vitest';
import { checkSetup } from '../../../../shared-lib/calibration/check-setup.ts';
import type { Finding } from '../../../../shared-lib/calibration/result-model.ts';
import type { RunSetup } from '../../../../shared-lib/calibration/run-model.ts';
import type { Arm, Site, Weight } from '../../../../shared-lib/calibration/standards-model.ts';
import { demoArm, demoSetup, demoShortArm, demoSite, demoWeight } from '../../../helpers/run-setups.ts';

/** Six levels of 5 kg on half a metre: 24.5 to 147.1 N m. */
const sound = demoSetup(6, { series: 'full', exercises: 3 });
const rig = { today: '2026-03-31', capacityNm: 200, rigLimitNm: 180 };

const check = (
  change: Partial<RunSetup>,
  bench: Partial<typeof rig> | { capacityNm: null } = {},
): Finding[] => checkSetup({ setup: { ...sound, ...change }, ...rig, ...bench });

function expectOnly(
  findings: Finding[],
  code: string,
  severity: Finding['severity'],
  sentence: RegExp,
): void {
  expect(findings).toEqual([
    { code, severity, sense: null, sentence: expect.stringMatching(sentence) as string },
  ]);
}

const hangOnTop = (weight: Weight): RunSetup['levels'] =>
  sound.levels.map((level, index) => (index === 5 ? [...level.slice(0, 5), weight] : level));

describe('a setup before anything is hung', () => {
  it('with nothing against it has no finding', () => {
    expect(check({})).toEqual([]);
    expect(check({ way: 'loadCell', senses: ['reverse', 'forward'] })).toEqual([]);
  });

  it.each([
    ['full', 2, 3],
    ['notRemountable', 2, 3],
    ['quick', 1, 2],
  ] as const)('with the %s series is refused with %i levels', (series, count, least) => {
    const { levels } = demoSetup(count);
    expectOnly(
      check({ series, levels }, { capacityNm: 100 }),
      'too-few-levels',
      'stop',
      new RegExp(`^${count} level.*at least ${least} different ones`),
    );
    expectOnly(
      check({ series, levels: demoSetup(least).levels }, { capacityNm: 100 }),
      'few-levels',
      'note',
      new RegExp(`^${least} levels.*5 or more`),
    );
  });

  it('counts a torque once that is set up twice, and says where the levels do not rise', () => {
    const [one = [], two = []] = demoSetup(2).levels;
    const findings = check({ levels: [one, two, two] });
    expect(findings.map(({ code }) => code)).toEqual(['too-few-levels', 'levels-not-rising']);
    expect(findings[1]?.sentence).toMatch(
      /^Level 3 gives 49\.04.N·m \(36\.17.ft·lbf\), no more than level 2/,
    );
  });

  it('is refused where a level gives less than the one below it', () => {
    const levels = [...sound.levels];
    levels.splice(2, 2, sound.levels[3] ?? [], sound.levels[2] ?? []);
    expectOnly(check({ levels }), 'levels-not-rising', 'stop', /^Level 4 .*no more than level 3/);
  });

  it('is refused where the first level does not load the bare arm', () => {
    const own = { massKg: 30, densityKgM3: 7850, centreOfMassM: -0.2 };
    const findings = check({ arm: { ...demoArm, own } });
    expect(findings[0]).toMatchObject({ code: 'levels-not-rising', severity: 'stop' });
    expect(findings[0]?.sentence).toContain('no more than the bare arm');
  });

  it('is refused above the capacity or the limit of the rig, with both torques and a caution', () => {
    expectOnly(
      check({}, { capacityNm: 147 }),
      'over-capacity',
      'stop',
      /^The top level gives 147\.1.N·m \(108\.5.ft·lbf\), more than the capacity of the transducer, 147\.0.*hurt people/,
    );
    expectOnly(check({}, { rigLimitNm: 140 }), 'over-rig-limit', 'stop', /the limit of the rig, 140\.0/);
    expect(check({}, { capacityNm: 147.2, rigLimitNm: 147.2 })).toEqual([]);
  });

  it('notes a top far under the capacity, and looks where no capacity is known', () => {
    expectOnly(check({}, { capacityNm: 1000 }), 'low-top', 'note', /is 15.% of capacity/);
    expect(check({}, { capacityNm: 735 })).toEqual([]);
    expectOnly(check({}, { capacityNm: null }), 'capacity-unknown', 'look', /enter it in Setup/);
  });

  it('is refused where series and way do not fit', () => {
    expectOnly(check({ series: 'twoArmLengths' }), 'series-unfit', 'stop', /made for one weight/);
    const oneWeight = { way: 'oneWeight', shortArm: demoShortArm, levels: [[demoWeight(20)]] } as const;
    const [first, second] = check({ ...oneWeight, levels: [[demoWeight(20)]], series: 'full' });
    expect(first).toMatchObject({ code: 'series-unfit', severity: 'stop' });
    expect(second).toMatchObject({ code: 'single-weight', severity: 'note' });
    expectOnly(check({ senses: ['forward', 'forward'] }), 'sense-twice', 'stop', /forward sense/);
  });

  it('notes fewer loads to the maximum than the full series has', () => {
    expectOnly(check({ exercises: 1 }), 'few-exercises', 'note', /^1 exercise to the maximum.*has 3/);
    expect(check({ exercises: 0, series: 'notRemountable' })).toEqual([]);
  });
});

describe('a setup with one weight', () => {
  const one: Partial<RunSetup> = {
    way: 'oneWeight',
    series: 'twoArmLengths',
    levels: [[demoWeight(20)]],
    shortArm: demoShortArm,
  };
  const findingsOf = (change: Partial<RunSetup>): [string, string][] =>
    check({ ...one, ...change }).map(({ code, severity }) => [code, severity]);

  it('is told that it gets no class', () => {
    expectOnly(check(one), 'single-weight', 'note', /no class, valid up to the highest applied torque/);
  });

  it('needs exactly one level and a second arm that is shorter', () => {
    const note = ['single-weight', 'note'];
    expect(findingsOf({ levels: sound.levels })).toEqual([note, ['not-one-level', 'stop']]);
    expect(findingsOf({ shortArm: null })).toEqual([note, ['no-short-arm', 'stop']]);
    expect(findingsOf({ shortArm: demoArm })).toEqual([note, ['short-arm-not-shorter', 'stop']]);
  });

  it('has both its arms looked at', () => {
    const exact = { kind: 'limit', limit: 0 } as const;
    expect(findingsOf({ shortArm: { ...demoShortArm, lengthUncertaintyM: exact } })).toEqual([
      ['single-weight', 'note'],
      ['length-without-uncertainty', 'look'],
    ]);
  });
});

describe('the weights of a setup', () => {
  it('are refused where one hangs twice in a level, and not where it comes again at the next', () => {
    const [disc = demoWeight(5)] = sound.levels[0] ?? [];
    expectOnly(
      check({ levels: hangOnTop(disc) }),
      'hung-twice',
      'stop',
      /^“disc 1” is hung twice at level 6\./,
    );
  });

  it('are looked at where the certificate is out of date, once for each weight', () => {
    const dated = (certificateValidUntil: string): RunSetup['levels'] =>
      sound.levels.map((level) =>
        level.map((weight, index) =>
          index === 0 ? { ...weight, certificate: 'D-17', certificateValidUntil } : weight,
        ),
      );
    expectOnly(
      check({ levels: dated('2026-03-30') }),
      'certificate-out-of-date',
      'look',
      /^Certificate D-17 of “disc 1” held until 2026-03-30; today is 2026-03-31/,
    );
    expect(check({ levels: dated('2026-03-31') })).toEqual([]);
  });

  it('are refused where the class has no such nominal mass', () => {
    expectOnly(
      check({ levels: hangOnTop(demoWeight(7.5)) }),
      'no-class-limit',
      'stop',
      /class M1, and R 111 has no nominal mass of 7\.5.kg.*tolerance of its own/,
    );
  });

  it.each([
    [11.023, 'pounds and entered as kilograms', /11\.023.kg, which is 2\.2046 times the nominal 5.kg/],
    [2.268, 'kilograms and entered as pounds', /2\.268.kg, which is 1\/2\.2046 times the nominal 5.kg/],
    [9.8067, 'newtons and entered as kilograms', /9\.8067 times the nominal 1.kg/],
    [0.0204, 'divided by gravity once too often', /20\.4.g, which is 1\/9\.8067 times the nominal 200.g/],
  ])('of %s kg are asked whether the mass was %s', (massKg, question, sentence) => {
    const weights = [demoWeight(massKg, 'odd')];
    const levels = sound.levels.map((level) => [...level, ...weights]);
    const findings = check({ levels }, { capacityNm: 250, rigLimitNm: 250 });
    expect(findings.map(({ code, severity }) => [code, severity])).toEqual([
      ['no-class-limit', 'stop'],
      ['mass-unit', 'look'],
    ]);
    expect(findings[1]?.sentence).toMatch(sentence);
    expect(findings[1]?.sentence).toContain(question);
  });

  it('with a tolerance of their own may have any mass, but not an exact one', () => {
    const own = (limit: number): Weight => ({
      ...demoWeight(7.5),
      tolerance: { kind: 'own', uncertaintyKg: { kind: 'limit', limit } },
    });
    expect(check({ levels: hangOnTop(own(0.001)) })).toEqual([]);
    expectOnly(
      check({ levels: hangOnTop(own(0)) }),
      'mass-without-uncertainty',
      'look',
      /^The mass of “7\.5 kg”/,
    );
  });
});

describe('the arm and the place of a setup', () => {
  const exact = { kind: 'limit', limit: 0 } as const;

  it('are looked at where a length or an angle is stated as exact', () => {
    expectOnly(
      check({ arm: { ...demoArm, lengthUncertaintyM: exact } }),
      'length-without-uncertainty',
      'look',
      /“the 500 mm arm”/,
    );
    const level = { ...demoArm, angleLimitDeg: 0 };
    expectOnly(
      check({ arm: level }),
      'angle-without-limit',
      'look',
      /horizontal the first order gives nothing/,
    );
    expect(check({ arm: level, way: 'loadCell' })).toEqual([]);
  });

  it('are looked at where the angle alone makes the torque uncertain by more than 0.1 %', () => {
    // 0.149 a^2: 0.18 % at 6.3 deg, 0.08 % at 4.2 deg; tan(10 deg) a / sqrt(3): 0.18 % at 1 deg.
    expectOnly(check({ arm: { ...demoArm, angleLimitDeg: 6.3 } }), 'wide-angle', 'look', /by 0\.18.%/);
    expect(check({ arm: { ...demoArm, angleLimitDeg: 4.2 } })).toEqual([]);
    expectOnly(
      check({ arm: { ...demoArm, angleDeg: 10, angleLimitDeg: 1 } }),
      'wide-angle',
      'look',
      /at 10\.0° within ±1\.0° .* 0\.18.%/,
    );
  });

  it('are looked at where the moment of the arm is computed, except under a load cell', () => {
    const arm: Arm = { ...demoArm, own: { massKg: 1.5, densityKgM3: 7850, centreOfMassM: 0.31 } };
    expectOnly(
      check({ arm }),
      'moment-of-arm',
      'look',
      /“the 500 mm arm” itself \(1\.50.kg, centre of gravity at 310.mm\).*zero is taken with the arm off/,
    );
    expect(check({ arm, way: 'loadCell' })).toEqual([]);
  });

  it('are looked at where gravity is one that no place has, or the conventional one', () => {
    const entered = (gravityMps2: number, limit = 1e-4): Site => ({
      ...demoSite,
      gravity: { source: 'entered', gravityMps2 },
      gravityUncertaintyMps2: { kind: 'limit', limit },
    });
    expectOnly(
      check({ site: entered(9.7123) }),
      'gravity-implausible',
      'look',
      /9\.7123.m\/s².*between 9\.76 and 9\.84/,
    );
    expectOnly(check({ site: entered(9.80665) }), 'standard-gravity', 'look', /Was it measured there\?/);
    // Whoever states so wide a limit knows it.
    expect(check({ site: entered(9.80665, 0.03) })).toEqual([]);
    // The least and the greatest on the ellipsoid: equator and pole.
    expect([...check({ site: entered(9.7803) }), ...check({ site: entered(9.8322) })]).toEqual([]);
  });

  it('are noted where air and height do not go together', () => {
    const at = (heightM: number, air: Site['air']): Site => ({
      ...demoSite,
      gravity: { source: 'location', latitudeDeg: 39.74, heightM },
      gravityUncertaintyMps2: null,
      air,
    });
    const measured = (pressureHpa: number): Site['air'] => ({
      source: 'measured',
      temperatureC: 20,
      pressureHpa,
      humidityPercent: 40,
    });
    expectOnly(
      check({ site: at(1609, measured(1013)) }),
      'pressure-unlike-height',
      'note',
      /1013.hPa; at 1609.m some 83\d.hPa are usual\. Was it reduced to sea level/,
    );
    expectOnly(check({ site: at(1609, { source: 'standard' }) }), 'air-unlike-height', 'note', /some 1\.05/);
    expectOnly(
      check({ site: at(0, { source: 'entered', densityKgM3: 0.95 }) }),
      'air-unlike-height',
      'note',
      /entered as 0\.95.*some 1\.23?/,
    );
    for (const [heightM, air] of [
      [1609, measured(840)],
      [80, measured(985)],
      [80, { source: 'standard' }],
      [1609, { source: 'entered', densityKgM3: 1.02 }],
    ] as const) {
      expect(check({ site: at(heightM, air) })).toEqual([]);
    }
    // Without a height nothing can be said.
    expect(check({ site: { ...demoSite, air: measured(840) } })).toEqual([]);
  });

  it('are looked at where gravity is entered without saying how well it is known', () => {
    const unstated = { ...demoSite, gravityUncertaintyMps2: null };
    expectOnly(check({ site: unstated }), 'gravity-unstated', 'look', /±0\.0001.m\/s² is taken/);
    const located = { source: 'location', latitudeDeg: 52.5, heightM: 80 } as const;
    expect(check({ site: { ...unstated, gravity: located } })).toEqual([]);
    expectOnly(
      check({ site: { ...demoSite, gravityUncertaintyMps2: exact } }),
      'gravity-without-uncertainty',
      'look',
      /“Demo workshop”/,
    );
  });
});
