import type { ReactNode } from 'react';
import { Dialog as AriaDialog, Heading, Modal, ModalOverlay } from 'react-aria-components';
import './dialog.css';

export interface DialogProps {
  readonly title: string;
  readonly isOpen: boolean;
  /** Escape, a click beside it, or the caller's own buttons; focus goes back to where it was. */
  readonly onClose: () => void;
  /** The buttons, the main one first. */
  readonly actions: ReactNode;
  readonly children: ReactNode;
  /** `alertdialog` for what must be answered before work goes on; it does not close by a click beside it. */
  readonly role?: 'dialog' | 'alertdialog';
}

/** Traps the focus while it is open and gives it back when it closes. */
export function Dialog({ title, isOpen, onClose, actions, children, role = 'dialog' }: DialogProps) {
  return (
    <ModalOverlay
      className="ui-dialog-veil"
      isOpen={isOpen}
      onOpenChange={(isStillOpen) => {
        if (!isStillOpen) {
          onClose();
        }
      }}
      isDismissable={role === 'dialog'}
    >
      <Modal className="ui-dialog-frame">
        <AriaDialog className="ui-dialog" role={role}>
          <Heading slot="title" level={2}>
            {title}
          </Heading>
          <div className="ui-dialog-content">{children}</div>
          <div className="ui-dialog-actions">{actions}</div>
        </AriaDialog>
      </Modal>
    </ModalOverlay>
  );
}
