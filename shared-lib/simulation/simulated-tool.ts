/**
 * The tools of the simulated bench. All of them are invented, makers and figures alike.
 *
 * A tool that strikes stores `blowEnergyJ` in its hammer and gives it up through a drive train (anvil, socket) of
 * stiffness `driveStiffnessNmPerRad`. Wound up against something that does not turn, that energy reaches the torque
 * sqrt(2 E k): the tool's ceiling (energy of a torsion spring, E = T^2 / 2k).
 */
export interface SimulatedTool {
  readonly name: string;
  readonly blowEnergyJ: number;
  readonly blowRateHz: number;
  readonly driveStiffnessNmPerRad: number;
  /** Time constant with which the hammer reaches its speed. */
  readonly spinUpS: number;
  /** Share of the blow energy that is lost in the end as the supply sags, and the time constant of the sagging. */
  readonly sagShare: number;
  readonly sagS: number;
  /** Blow energy in reverse over that in forward. */
  readonly reverseEnergyRatio: number;
}

export const simulatedToolNames = ['Hollin H5', 'Tarnwick T6', 'Brindlow B4', 'Corvane C8'] as const;
export type SimulatedToolName = (typeof simulatedToolNames)[number];

export const simulatedTools: Readonly<Record<SimulatedToolName, SimulatedTool>> = {
  'Hollin H5': {
    name: 'Hollin H5',
    blowEnergyJ: 14,
    blowRateHz: 42,
    driveStiffnessNmPerRad: 9000,
    spinUpS: 0.05,
    sagShare: 0.05,
    sagS: 4,
    reverseEnergyRatio: 1.03,
  },
  'Tarnwick T6': {
    name: 'Tarnwick T6',
    blowEnergyJ: 22,
    blowRateHz: 33,
    driveStiffnessNmPerRad: 10_500,
    spinUpS: 0.08,
    sagShare: 0.08,
    sagS: 5,
    reverseEnergyRatio: 1.06,
  },
  'Brindlow B4': {
    name: 'Brindlow B4',
    blowEnergyJ: 6.5,
    blowRateHz: 45,
    driveStiffnessNmPerRad: 7500,
    spinUpS: 0.04,
    sagShare: 0.03,
    sagS: 6,
    reverseEnergyRatio: 1,
  },
  'Corvane C8': {
    name: 'Corvane C8',
    blowEnergyJ: 42,
    blowRateHz: 22,
    driveStiffnessNmPerRad: 13_500,
    spinUpS: 0.12,
    sagShare: 0.1,
    sagS: 5,
    reverseEnergyRatio: 1.04,
  },
};

export function isSimulatedToolName(name: string): name is SimulatedToolName {
  return (simulatedToolNames as readonly string[]).includes(name);
}
