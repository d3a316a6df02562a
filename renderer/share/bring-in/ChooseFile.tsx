import { useState } from 'react';
import { DropZone, FileTrigger, Text } from 'react-aria-components';
import { Button } from '../../ui/Button.tsx';
import { TextField } from '../../ui/TextField.tsx';

export interface ChooseFileProps {
  /** "Choose a data package". */
  readonly label: string;
  /** "a data package (.zip)". */
  readonly what: string;
  readonly endings: readonly string[];
  readonly isBusy: boolean;
  readonly onFile: (file: File) => void;
  readonly onPath: (path: string) => void;
}

/** A file from anywhere, by choosing or dropping it; or one that lies where the program runs, by its path. */
export function ChooseFile({ label, what, endings, isBusy, onFile, onPath }: ChooseFileProps) {
  const [path, setPath] = useState('');
  const typed = path.trim();
  const choosePath = (): void => {
    if (typed !== '' && !isBusy) onPath(typed);
  };
  return (
    <div className="bring-in-choose">
      <DropZone
        className="bring-in-drop"
        isDisabled={isBusy}
        getDropOperation={() => 'copy'}
        onDrop={({ items }) => {
          const [file] = items.filter((item) => item.kind === 'file');
          if (file) void file.getFile().then(onFile);
        }}
      >
        <FileTrigger
          acceptedFileTypes={[...endings]}
          onSelect={(files) => {
            const [file] = files ?? [];
            if (file) onFile(file);
          }}
        >
          <Button look="primary" isPending={isBusy}>
            {label}
          </Button>
        </FileTrigger>
        <Text slot="label">or drop {what} here</Text>
      </DropZone>
      <div className="bring-in-path">
        <TextField
          label="Or its path on the computer that the program runs on"
          value={path}
          onChange={setPath}
          onEnter={choosePath}
          maxLength={1000}
        />
        <Button isDisabled={typed === '' || isBusy} onPress={choosePath}>
          Look at it
        </Button>
      </div>
    </div>
  );
}
