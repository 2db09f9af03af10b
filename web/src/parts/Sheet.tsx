// A sheet laid over the page: a dialog with a name and a way out.
import type { ReactNode } from "react";
import { Button, Dialog, Heading, Modal, ModalOverlay } from "react-aria-components";

type Props = { name: string; onClose: () => void; children: ReactNode; wide?: boolean };

export function Sheet({ name, onClose, children, wide }: Props) {
  return (
    <ModalOverlay className="overlay" isOpen isDismissable onOpenChange={(open) => !open && onClose()}>
      <Modal className={wide ? "modal wide" : "modal"}>
        <Dialog className="sheet">
          <header className="sheet-head">
            <Heading slot="title">{name}</Heading>
            <Button slot="close" className="press quiet" aria-label="Close">
              ×
            </Button>
          </header>
          {children}
        </Dialog>
      </Modal>
    </ModalOverlay>
  );
}
