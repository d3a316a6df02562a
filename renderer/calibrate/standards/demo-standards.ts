import type { Standard } from '../../../shared-lib/calibration/standards-model.ts';

/** Invented weights, arms and a place, for calibrating the simulated bench: 6 x 20 kg on 1 m make 1176 N m there. */
export function demoStandards(newId: () => string): Standard[] {
  const weights = ['A', 'B', 'C', 'D', 'E', 'F'].map((letter): Standard => ({
    kind: 'weight',
    weight: {
      id: newId(),
      name: `20 kg ${letter} (demo)`,
      massKg: 20,
      densityKgM3: 7850,
      tolerance: { kind: 'class', weightClass: 'M1' },
      certificate: '',
      certificateValidUntil: null,
    },
  }));
  const arm = (name: string, lengthM: number): Standard => ({
    kind: 'arm',
    arm: {
      id: newId(),
      name,
      lengthM,
      lengthUncertaintyM: { kind: 'limit', limit: 0.0002 },
      angleDeg: 0,
      angleLimitDeg: 1,
      own: null,
    },
  });
  return [
    ...weights,
    arm('Long arm (demo)', 1),
    arm('Short arm (demo)', 0.5),
    {
      kind: 'site',
      site: {
        id: newId(),
        name: 'Workshop (demo)',
        gravity: { source: 'location', latitudeDeg: 50, heightM: 100 },
        gravityUncertaintyMps2: null,
        air: { source: 'standard' },
      },
    },
  ];
}
