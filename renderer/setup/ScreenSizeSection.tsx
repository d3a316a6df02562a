import type { Settings } from '../../shared-lib/api-contract.ts';
import { formatNumber } from '../../shared-lib/format-quantity.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow, Panel } from '../ui/Panel.tsx';
import { SavedQuantityField } from './SavedQuantityField.tsx';
import { useSaveSettings } from './use-save-settings.ts';

/** The width of the bar in setup.css. */
const BAR_PX = 400;

/** The contract takes 0.5 to 50 px per mm. */
const barLengthRule = {
  kind: 'length',
  unit: 'mm',
  min: BAR_PX / 50 / 1000,
  max: BAR_PX / 0.5 / 1000,
} as const;

export function ScreenSizeSection({ settings }: { readonly settings: Settings }) {
  const { save, error } = useSaveSettings();
  const { screenPxPerMm } = settings;
  return (
    <Panel
      title="Screen size"
      lead="Figures on the Bench are made to be read from a distance, in true millimetres. Measure this bar once with a ruler, on the screen that hangs at the bench."
    >
      <div className="setup-bar" role="img" aria-label="Bar to be measured, from edge to edge" />
      <SavedQuantityField
        label="Length of the bar"
        rule={barLengthRule}
        saved={screenPxPerMm === null ? null : BAR_PX / screenPxPerMm / 1000}
        save={(lengthM) => save({ screenPxPerMm: lengthM === null ? null : BAR_PX / (lengthM * 1000) })}
        help="Without a unit it is taken in mm"
        placeholder="such as 106 mm"
      />
      {screenPxPerMm === null ? (
        <p className="setup-aside">Not measured yet: a usual screen of 96 pixels per inch is assumed.</p>
      ) : (
        <ActionRow>
          <span>One millimetre is {formatNumber(screenPxPerMm, 2)} pixels on this screen.</span>
          <Button look="quiet" onPress={() => void save({ screenPxPerMm: null })}>
            Forget the measured length
          </Button>
        </ActionRow>
      )}
      <FailureNotice error={error} />
    </Panel>
  );
}
