#!/usr/bin/env node
import './require-node.mjs';
import { outliveReader } from './outlive-reader.mjs';

const usage = `proofarm start [options]      start the program (proofarm start --help)
proofarm simulate [options]   serve a simulated amplifier on a pseudo-terminal (proofarm simulate --help)
proofarm fit POINTS.csv        fit a calibration curve to points (proofarm fit --help)
proofarm measure CURVE.csv     measure a curve (proofarm measure --help)
proofarm recompute PACKAGE     compute a data package again (proofarm recompute --help)
proofarm demo [--data DIR]     fill a new data folder with an invented workshop
proofarm doctor [--data DIR]   look over ports, rights, disk, database and backups
proofarm salvage [DIR]         copy what can be read of a damaged database into a new one
proofarm --help               this text
`;

outliveReader();
const [command, ...options] = process.argv.slice(2);
switch (command) {
  case 'start': {
    const { startProgram } = await import('./start-program.mjs');
    await startProgram(options);
    break;
  }
  case 'simulate': {
    const { simulateAmplifier } = await import('./simulate-amplifier.ts');
    process.exitCode = await simulateAmplifier(options);
    break;
  }
  case 'fit': {
    const { fitPoints } = await import('./fit-points.ts');
    process.exitCode = fitPoints(options);
    break;
  }
  case 'measure': {
    const { measureCurve } = await import('./measure-curve.ts');
    process.exitCode = measureCurve(options);
    break;
  }
  case 'recompute': {
    const { recomputeFromSources } = await import('./recompute-package.ts');
    process.exitCode = await recomputeFromSources(options);
    break;
  }
  case 'demo': {
    const { makeDemo } = await import('./make-demo.ts');
    process.exitCode = await makeDemo(options);
    break;
  }
  case 'doctor': {
    const { examine } = await import('./doctor.ts');
    process.exitCode = await examine(options);
    break;
  }
  case 'salvage': {
    const { salvage } = await import('./salvage.ts');
    process.exitCode = salvage(options);
    break;
  }
  case '--help':
    process.stdout.write(usage);
    break;
  default:
    process.stderr.write(command === undefined ? usage : `There is no command "${command}".\n\n${usage}`);
    process.exitCode = 2;
}
