import { Keyboard } from 'lucide-react';
import { Link, useLocation } from 'wouter';
import type { Settings, TorqueUnit } from '../../shared-lib/api-contract.ts';
import { unitLabel } from '../../shared-lib/format-quantity.ts';
import { Button } from '../ui/Button.tsx';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { LaterSelectField } from './LaterSelectField.tsx';
import { isWithin, places } from './places.ts';
import { themeNames } from './theme.ts';
import './top-bar.css';

const themeOptions = (Object.keys(themeNames) as Settings['theme'][]).map((key) => ({
  key,
  label: themeNames[key],
}));
const torqueUnits: readonly TorqueUnit[] = ['Nm', 'ftLbf'];
const unitChoices = torqueUnits.map((key) => ({ key, label: unitLabel(key) }));

export interface TopBarProps {
  readonly settings: Settings | null;
  readonly onChange: (change: Partial<Settings>) => void;
  readonly onShowKeys: () => void;
}

export function TopBar({ settings, onChange, onShowKeys }: TopBarProps) {
  const [location] = useLocation();
  return (
    <header className="top-bar">
      <nav className="top-bar-places" aria-label="Places">
        {places.map(({ address, name }) => (
          <Link
            key={address}
            href={address}
            className="top-bar-place"
            {...(isWithin(location, address) ? { 'aria-current': 'page' as const } : {})}
          >
            {name}
          </Link>
        ))}
      </nav>
      <div className="top-bar-tools">
        <ChoiceField
          label="Torque unit"
          isLabelHidden
          choices={unitChoices}
          selected={settings?.torqueUnit ?? null}
          onSelect={(torqueUnit) => onChange({ torqueUnit })}
          isDisabled={settings === null}
        />
        <LaterSelectField
          label="Theme"
          isLabelHidden
          options={themeOptions}
          selected={settings?.theme ?? null}
          onSelect={(theme) => onChange({ theme })}
          isDisabled={settings === null}
        />
        <Button look="quiet" aria-label="Keys" onPress={onShowKeys}>
          <Keyboard aria-hidden="true" size={20} />
        </Button>
      </div>
    </header>
  );
}
