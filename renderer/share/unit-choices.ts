/** In which unit torque stands in a picture or a report. */
export const unitChoices = [
  { key: 'Nm', label: 'N·m' },
  { key: 'ftLbf', label: 'ft·lbf' },
] as const;
