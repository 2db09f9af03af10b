// What is said while a long question is worked on: that it is, a way to give it up, and what went wrong.
import type { Asked } from "./useAsked";
import { Press } from "./Press";

type Props = { asked: Asked<unknown>; words: string };

export function Waiting({ asked, words }: Props) {
  return (
    <div className="waiting" aria-live="polite">
      {asked.slow && (
        <>
          <span className="waiting-words">{words} …</span>
          <progress aria-label={words} />
          <Press onPress={asked.stop}>stop</Press>
        </>
      )}
      {asked.stopped && (
        <>
          <span className="waiting-words">Stopped.</span>
          <Press onPress={asked.again}>go on</Press>
        </>
      )}
      {asked.wrong && (
        <>
          <p className="problem" role="alert">{asked.wrong.message}</p>
          <Press onPress={asked.again}>ask again</Press>
        </>
      )}
    </div>
  );
}
