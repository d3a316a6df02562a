import { useState } from 'react';
import { useLocation } from 'wouter';
import { toolAddress } from '../tools-addresses.ts';
import { ToolsPage } from '../ToolsPage.tsx';
import { DetailsPanel } from './DetailsPanel.tsx';

const NEW_TOOL_KEY = 'new';

export function NewToolPage() {
  const [, navigate] = useLocation();
  const [toolId] = useState(() => crypto.randomUUID());
  return (
    <ToolsPage title="New tool">
      <DetailsPanel
        draftKey={NEW_TOOL_KEY}
        toolId={toolId}
        stored={null}
        // Back leads to the list from there, not to an empty form.
        onStored={() => navigate(toolAddress(toolId), { replace: true })}
      />
    </ToolsPage>
  );
}
