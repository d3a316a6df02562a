/** What is confirmed before the first trial of a session, and said wherever trials are published. */
export const safetyPoints: readonly string[] = [
  'Eye and hearing protection on, for everyone near the bench.',
  'Hands and clothes clear of pinch points and of where the bar or the tool reacts.',
  'Impact-rated sockets and adapters only, without cracks.',
  'Transducer and rig rated for more than this tool can give; bolts tight.',
  'Nobody in line with the bar.',
];

export const NO_SAFETY_ASSESSMENT =
  'An aid, not a safety assessment: follow your local rules and the maker’s manual, and have the rig and the transducer checked by a competent person.';

export const PROGRAM_CANNOT_STOP = 'The program cannot stop the tool.';
