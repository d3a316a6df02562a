import { type ReactNode, useEffect, useState } from 'react';
import { useSettings, useStatus } from '../api-client/ConnectionContext.tsx';
import { Page } from '../ui/Panel.tsx';
import { AboutSection } from './AboutSection.tsx';
import { AmplifierSection } from './AmplifierSection.tsx';
import { AppearanceSection } from './AppearanceSection.tsx';
import { BenchSection } from './BenchSection.tsx';
import { LevelsSection } from './LevelsSection.tsx';
import { OperatorSection } from './OperatorSection.tsx';
import { BackupsSection } from './backup/BackupsSection.tsx';
import { freeName } from './profiles/adopt-profile.ts';
import type { ProfileEditing } from './profiles/ProfileEditor.tsx';
import { ProfilesSection } from './profiles/ProfilesSection.tsx';
import { useProfiles } from './profiles/use-profiles.ts';
import { RawBytesSection } from './raw-bytes/RawBytesSection.tsx';
import { ScreenSizeSection } from './ScreenSizeSection.tsx';
import './setup.css';
import { SimulatedBenchSection } from './SimulatedBenchSection.tsx';
import { SoundSection } from './SoundSection.tsx';
import { StartSection } from './StartSection.tsx';
import { ToolsSection } from './ToolsSection.tsx';
import { TransducerSection } from './TransducerSection.tsx';

interface Section {
  readonly id: string;
  readonly title: string;
  readonly content: ReactNode;
}

/** Everything is saved as one goes; there is no button to forget. */
export function SetupPage() {
  const status = useStatus();
  const settings = useSettings();
  const profiles = useProfiles();
  const [editing, setEditing] = useState<ProfileEditing | null>(null);
  if (status === null || settings === null) return <Page title="Setup">Waiting for the program.</Page>;

  const sections: readonly Section[] = [
    {
      id: 'amplifier',
      title: 'Amplifier',
      content: (
        <AmplifierSection
          status={status}
          settings={settings}
          profiles={profiles}
          onAdjust={(proposed, path) => {
            const name = freeName(
              proposed.name,
              profiles.all.map((known) => known.name),
            );
            setEditing({ start: { ...proposed, id: crypto.randomUUID(), name }, isNew: true, path });
          }}
        />
      ),
    },
    {
      id: 'profiles',
      title: 'Line profiles',
      content: <ProfilesSection profiles={profiles} editing={editing} onEdit={setEditing} />,
    },
    { id: 'simulated', title: 'Simulated bench', content: <SimulatedBenchSection status={status} /> },
    { id: 'transducer', title: 'Transducer and rig', content: <TransducerSection status={status} /> },
    { id: 'raw-bytes', title: 'Raw bytes', content: <RawBytesSection status={status} /> },
    { id: 'levels', title: 'Levels', content: <LevelsSection settings={settings} /> },
    { id: 'sounds', title: 'Sounds', content: <SoundSection settings={settings} /> },
    { id: 'appearance', title: 'Units and theme', content: <AppearanceSection settings={settings} /> },
    { id: 'screen', title: 'Screen size', content: <ScreenSizeSection settings={settings} /> },
    { id: 'tools', title: 'Tools and handling', content: <ToolsSection settings={settings} /> },
    { id: 'bench', title: 'Bench', content: <BenchSection /> },
    { id: 'operator', title: 'Operator', content: <OperatorSection settings={settings} /> },
    { id: 'start', title: 'Start', content: <StartSection settings={settings} /> },
    { id: 'backups', title: 'Backups', content: <BackupsSection /> },
    { id: 'about', title: 'About', content: <AboutSection status={status} /> },
  ];

  return (
    <Page title="Setup">
      <ArriveAtSection />
      <div className="setup-layout">
        <nav className="setup-contents" aria-label="Sections of Setup">
          {sections.map(({ id, title }) => (
            <a key={id} href={`#${id}`}>
              {title}
            </a>
          ))}
        </nav>
        <div className="setup-sections">
          {sections.map(({ id, content }) => (
            <div key={id} id={id} className="setup-section">
              {content}
            </div>
          ))}
        </div>
      </div>
    </Page>
  );
}

/** A link from another place names a section; the browser itself only goes there on a page that it loads anew. */
function ArriveAtSection() {
  useEffect(() => {
    document.getElementById(location.hash.slice(1))?.scrollIntoView();
  }, []);
  return null;
}
