/** Usual reasons (common practice, no source); anything else goes into own words. */
export const usualVoidReasons: readonly string[] = [
  'Socket or adapter slipped',
  'Trigger released too early',
  'Wrong tool setting or mode',
  'Wrong battery or pressure',
  'Rig moved or came loose',
  'Started by mistake',
];

export const usualRestoreReasons: readonly string[] = [
  'Voided by mistake',
  'Checked: the run was sound after all',
];

export const usualCutOffReasons: readonly string[] = [
  'Cut off when the program ended',
  'Stopped on purpose',
  'Amplifier lost',
  'The run had hardly begun',
];

export const usualSkipReasons: readonly string[] = [
  'The tool failed',
  'No charged pack left',
  'The tool is too hot',
  'Fastener or socket at its end',
  'Time is up',
];

export const usualEndReasons: readonly string[] = ['Time is up', 'The bench failed', 'A tool failed'];
