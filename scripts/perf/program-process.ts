import type { TrialView } from '../../shared-lib/bench-status.ts';
import { prepareRealBench } from '../../tests/helpers/real-bench.ts';
import { startRealServices } from '../../tests/helpers/running-services.ts';
import type { ProgramCommand, ProgramReport } from './messages.ts';
import { armWhenAtRest } from '../../tests/helpers/arm-when-at-rest.ts';

/** The program without its door: main with its storage, and the reader as its child, as the host composes them. */
const [dataFolder, path, rate, planned] = process.argv.slice(2);
if (dataFolder === undefined || path === undefined) throw new Error('Needs a folder and a port');
const rateHz = Number(rate);
const plannedS = Number(planned);
const bench = await startRealServices(dataFolder);
let stallCpuUs = 0;
let phase: TrialView['phase'] = 'idle';

function post(report: ProgramReport): void {
  process.send?.(report);
}

function stall(durationMs: number): void {
  const before = process.threadCpuUsage();
  const until = performance.now() + durationMs;
  while (performance.now() < until);
  const { user, system } = process.threadCpuUsage(before);
  stallCpuUs += user + system;
}

async function reportRecord(trialId: string): Promise<void> {
  const { summary } = await bench.handlers.getTrial({ trialId });
  const { counts, gaps } = await bench.handlers.getTrialCounts({ trialId });
  let lostSlots = 0;
  for (let pair = 0; pair < gaps.length; pair += 2) lostSlots += gaps[pair + 1] ?? 0;
  post({ type: 'recorded', state: summary.state, slots: counts.length, lostSlots });
}

bench.services.onEvent((name, payload) => {
  if (name !== 'statusChanged' || !('trial' in payload) || payload.trial.phase === phase) return;
  const { trial } = payload;
  phase = trial.phase;
  post({ type: 'phase', phase });
  if (trial.phase === 'kept' || trial.phase === 'reviewing' || trial.phase === 'interrupted') {
    void reportRecord(trial.trialId);
  }
});

process.on('message', (command: ProgramCommand) => {
  switch (command.type) {
    case 'arm':
      void armWhenAtRest(bench.handlers);
      return;
    case 'stall':
      stall(command.durationMs);
      return;
    case 'count':
      void bench.status().then(({ amplifier: { counters } }) => {
        post({ type: 'counted', samples: counters.samples, stallCpuUs });
      });
      return;
    default:
  }
});
process.on('disconnect', () => process.exit());

await prepareRealBench(
  bench,
  {
    path,
    simulated: {
      bench: {
        push: (torqueNm, durationS) => {
          post({ type: 'push', torqueNm, durationS });
        },
      },
    },
  },
  { profileId: 'sequence-time-counts-checksum', rateHz, plannedS },
);
post({ type: 'ready' });
