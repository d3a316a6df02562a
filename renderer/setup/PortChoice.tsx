import { useState } from 'react';
import { useRequest } from '../api-client/use-request.ts';
import { Button } from '../ui/Button.tsx';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { ActionRow } from '../ui/Panel.tsx';
import { TextField } from '../ui/TextField.tsx';
import { describePort } from './amplifier-form.ts';

interface PortChoiceProps {
  readonly path: string;
  readonly onPath: (path: string) => void;
}

/** Stands for "a path typed by hand" among the ports; no port has an empty path. */
const typedPathKey = '';

export function PortChoice({ path, onPath }: PortChoiceProps) {
  const { result, error, isLoading, reload } = useRequest('listPorts', {});
  const [isTyping, setIsTyping] = useState(false);
  const ports = result?.ports ?? [];
  const isListed = ports.some((port) => port.path === path);
  // Not before the list is there: a field that vanishes again takes what was typed with it.
  const isPathTyped = isTyping || (result !== null && !isListed && (path !== '' || ports.length === 0));

  return (
    <div className="setup-ports">
      {ports.length === 0 ? (
        <p>
          {result === null
            ? 'Looking for serial ports.'
            : 'No serial port was found. Plug the amplifier in and look again, or type the path of its port.'}
        </p>
      ) : (
        <ChoiceField
          label="Serial port"
          layout="list"
          choices={[
            ...ports.map((port) => ({ key: port.path, label: port.path, note: describePort(port) })),
            { key: typedPathKey, label: 'Another port', note: 'its path is typed' },
          ]}
          selected={isPathTyped ? typedPathKey : isListed ? path : null}
          onSelect={(key) => {
            setIsTyping(key === typedPathKey);
            if (key !== typedPathKey) onPath(key);
          }}
        />
      )}
      {isPathTyped ? (
        <TextField
          label="Path of the port"
          value={path}
          onChange={onPath}
          placeholder="such as /dev/ttyUSB0 or COM3"
          maxLength={255}
        />
      ) : null}
      <ActionRow>
        <Button onPress={reload} isPending={isLoading}>
          Look for ports again
        </Button>
      </ActionRow>
      <FailureNotice error={error} />
    </div>
  );
}
