/** What lies in the folder or the ZIP, for whoever finds it without the program. */
export const dataSetReadMe = `# Torque trials as Parquet

    samples/bench=ID/day=YYYY-MM-DD/part-0.parquet   one row for each sample that was received
    trials/bench=ID/part-0.parquet                   one row for each trial
    figures/bench=ID/part-0.parquet                  what was measured from the samples
    levels/bench=ID/part-0.parquet                   times to torques that were asked for
    calibrations/bench=ID/part-0.parquet             what turns counts into torque

Torque is in N·m, positive in the direction of the step; time in s from onset; days are UTC. A lost sample has no row: its
slot is missing. \`torque_nm\` follows from \`counts\` by the calibration in force when this was written; it is null for
trials that were never kept, whose torque nobody has looked at. Voided trials are here too: \`trials.is_voided\` says so.
So are those that were excluded after a failed daily check: \`trials.suspicion\` says 'excluded'. Neither counts.
Calibrations are static: how true a transducer is under blows is not in their uncertainty.

Folders of several benches can be put together as they are. In DuckDB, from this folder:

    SELECT trial_id, max(torque_nm) FROM 'samples/*/*/*.parquet' GROUP BY trial_id;
`;

export function tablesReadMe({
  separator,
  decimal,
  withoutCurve,
}: {
  readonly separator: string;
  readonly decimal: string;
  readonly withoutCurve: number;
}): string {
  const left =
    withoutCurve === 0
      ? ''
      : `\r\n${withoutCurve} of the trials were never kept, so nobody has looked at their torque: they have neither figures nor a curve here.\r\n`;
  return `Torque trials as CSV for spreadsheets\r
\r
trial-figures.csv   a line for each trial: what was pulled, on what, and all that was measured\r
columns.csv         what each of its columns means\r
calibrations.csv    what the figures rest on (calibration_id), with uncertainty_percent: expanded, k = 2; empty: not stated\r
sessions.csv        the sittings at the bench\r
tools.csv           the tools of these trials\r
curves/             a file for each trial: time from onset, raw torque, measuring curve\r
\r
UTF-8 with a byte-order mark, separated by "${separator}", decimals after "${decimal}". Torque is in N·m, positive in the direction of the\r
step; times are in s. A lost sample has no line. Text that a spreadsheet would take for a formula has an apostrophe before it;\r
numbers never have one. The measuring curve is the centred mean over about 100 ms; it is empty where less than half of its\r
window is there. A curve of more than a million lines goes on in a further file.\r
\r
Voided trials are here too (is_voided), and so are those that were excluded after a failed daily check (suspicion: excluded).\r
Neither counts.\r
${left}\r
Calibrations are static: how true a transducer is under blows is not in their uncertainty.\r
`;
}
