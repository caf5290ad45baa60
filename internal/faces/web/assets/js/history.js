/** Undo and redo are changes that set back; what can be undone is read off the log of changes, so it outlives the page. */
import { back } from "./doc.js";

/**
 * Goes through a job's changes and tells what undo and redo would take next.
 * @param {Array<{id: string, undoes?: string, step: string, sets: Array}>} changes oldest first
 */
export function stacks(changes) {
  const byId = new Map(changes.map((c) => [c.id, c]));
  // how often back and forth: a change 0, its undo 1, its redo 2, the undo of that 3 …
  const turns = (c) => (c?.undoes ? turns(byId.get(c.undoes)) + 1 : 0);
  const done = [];
  let redo = [];
  for (const c of changes) {
    if (!c.undoes) {
      done.push(c);
      redo = [];
    } else if (turns(c) % 2 === 1) {
      const i = done.findLastIndex((d) => d.id === c.undoes);
      if (i >= 0) redo.push({ ...c, step: done.splice(i, 1)[0].step });
    } else {
      const i = redo.findLastIndex((u) => u.id === c.undoes);
      if (i >= 0) done.push({ ...c, step: redo.splice(i, 1)[0].step });
    }
  }
  return { undo: done.at(-1) ?? null, redo: redo.at(-1) ?? null, done, redone: redo };
}

/** The change that takes one back; nothing where there is none. */
export function takeBack(change, words) {
  if (!change) return {};
  return { step: `${words}: ${change.step}`, sets: back(change.sets), undoes: change.id };
}
