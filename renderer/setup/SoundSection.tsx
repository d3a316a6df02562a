import { Label, Slider, SliderOutput, SliderThumb, SliderTrack } from 'react-aria-components';
import { useState } from 'react';
import type { Settings } from '../../shared-lib/api-contract.ts';
import type { SoundCue } from '../../shared-lib/bench-status.ts';
import { playCue } from '../sound/play-cue.ts';
import { Button } from '../ui/Button.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { Panel } from '../ui/Panel.tsx';
import { useSaveSettings } from './use-save-settings.ts';

const cues: readonly { readonly cue: SoundCue['cue']; readonly label: string }[] = [
  { cue: 'arm', label: 'Arm' },
  { cue: 'count', label: 'Count' },
  { cue: 'go', label: 'Go' },
  { cue: 'stop', label: 'Stop' },
  { cue: 'fault', label: 'Fault' },
];

export function SoundSection({ settings }: { readonly settings: Settings }) {
  const { save, error } = useSaveSettings();
  const [dragged, setDragged] = useState<number | null>(null);
  const percent = dragged ?? Math.round(settings.soundVolume * 100);
  return (
    <Panel
      title="Sounds"
      lead="Each cue comes with a change of the whole screen, because ear muffs hide sound. Set the volume with your hearing protection on and a tool running nearby."
    >
      <Slider
        className="setup-slider"
        value={percent}
        onChange={setDragged}
        onChangeEnd={(value) => void save({ soundVolume: value / 100 }).then(() => setDragged(null))}
        minValue={0}
        maxValue={100}
        step={5}
      >
        <Label className="ui-label">Volume</Label>
        <SliderOutput className="setup-slider-value">{percent === 0 ? 'Off' : `${percent} %`}</SliderOutput>
        <SliderTrack className="setup-slider-track">
          <SliderThumb className="setup-slider-thumb" />
        </SliderTrack>
      </Slider>
      <div className="setup-cues" role="group" aria-label="Try a sound">
        {cues.map(({ cue, label }) => (
          <Button key={cue} onPress={() => playCue(cue, percent / 100)}>
            Play “{label}”
          </Button>
        ))}
      </div>
      <FailureNotice error={error} />
    </Panel>
  );
}
