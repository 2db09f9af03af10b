// A button. One that can't work now stays, and says why.
import type { ReactNode } from "react";
import { Button } from "react-aria-components";

type Props = {
  children: ReactNode;
  onPress: () => void;
  kind?: "plain" | "quiet" | "main";
  whyNot?: string | false | undefined;
  label?: string; // for a sign that says nothing when read aloud
  hint?: string | undefined;
  pressed?: boolean;
  className?: string;
};

export function Press({ children, onPress, kind = "plain", whyNot, label, hint, pressed, className }: Props) {
  return (
    <span className="press-hold" title={whyNot || hint || label}>
      <Button
        className={`press ${kind} ${className ?? ""}`}
        isDisabled={!!whyNot}
        onPress={onPress}
        aria-label={label}
        aria-pressed={pressed}
      >
        {children}
      </Button>
    </span>
  );
}
