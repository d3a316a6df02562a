import { z } from 'zod';
import { amplifierProfileSchema } from '../../shared-lib/amplifier/amplifier-profile.ts';
import {
  calibrationInputSchema,
  calibrationSenseSchema,
} from '../../shared-lib/calibration/calibration-model.ts';
import { checkMeansSchema, dailyCheckSchema } from '../../shared-lib/calibration/daily-check-model.ts';
import { calibrationResultSchema } from '../../shared-lib/calibration/result-model.ts';
import {
  plannedReadingSchema,
  readingFlagSchema,
  runSetupSchema,
} from '../../shared-lib/calibration/run-model.ts';
import { toolDetailsSchema } from '../../shared-lib/catalogue/catalogue-model.ts';
import { planSchema } from '../../shared-lib/run-sheet/plan-model.ts';
import { placeInSheetSchema } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import {
  preparationSchema,
  setupAsTestedSchema,
  socketSchema,
  toolSchema,
} from '../../shared-lib/run-sheet/setup-model.ts';
import { stepSchema } from '../../shared-lib/trial/step-model.ts';
import { transducerSchema, trialFiguresSchema } from '../../shared-lib/trial/trial-model.ts';
import { tagSchema } from '../../shared-lib/trial/trial-trail.ts';
import { analysisSchema } from '../storage/ringing-repository.ts';
import { confirmationSchema, moveSchema } from '../storage/run-sheet-events.ts';

/** What the JSON of each column has to be so that the program can read it later, as `table.column`. */
export const jsonColumns: Readonly<Record<string, z.ZodType>> = {
  'calibration_run.setup_json': runSetupSchema,
  'calibration_run.plan_json': z.array(plannedReadingSchema),
  'calibration_reading.flags_json': z.array(readingFlagSchema),
  'calibration.input_json': calibrationInputSchema,
  'calibration.forward_curve_json': calibrationSenseSchema.shape.curve,
  'calibration.reverse_curve_json': calibrationSenseSchema.shape.curve,
  'calibration.result_json': calibrationResultSchema,
  'daily_check.means_json': checkMeansSchema,
  'daily_check.reasons_json': dailyCheckSchema.shape.reasons,
  'rig_ringing.analysis_json': analysisSchema,
  'tool_details.tool_json': toolSchema,
  'tool_details.details_json': toolDetailsSchema,
  'setup.socket_json': socketSchema,
  'run_sheet.plan_json': planSchema,
  'run_sheet_entry.setup_json': setupAsTestedSchema,
  'run_sheet_entry.step_json': stepSchema,
  'run_sheet_event.detail_json': z.union([moveSchema, confirmationSchema]),
  'trial.transducer_json': transducerSchema,
  'trial.profile_json': amplifierProfileSchema,
  'trial.setup_json': setupAsTestedSchema,
  'trial.place_json': placeInSheetSchema,
  'trial.preparation_json': preparationSchema,
  'trial_evaluation.figures_json': trialFiguresSchema,
  'trial_annotation.tags_json': z.array(tagSchema),
  'relabelling.setup_json': setupAsTestedSchema,
};
