/** The job's document on this device: reading and setting by JSON pointer. Documents are never changed in place. */

const parts = (pointer) => pointer.split("/").slice(1).map((p) => p.replaceAll("~1", "/").replaceAll("~0", "~"));

/** What stands at a pointer; null when nothing does. */
export function get(doc, pointer) {
  let v = doc;
  for (const part of parts(pointer)) {
    if (v === null || typeof v !== "object") return null;
    v = v[part];
    if (v === undefined) return null;
  }
  return v ?? null;
}

function put(v, path, value) {
  if (path.length === 0) return value;
  const [head, ...rest] = path;
  if (Array.isArray(v) || head === "-") {
    const list = Array.isArray(v) ? [...v] : [];
    const i = head === "-" ? list.length : Number(head);
    const inner = put(list[i] ?? null, rest, value);
    if (inner === null) list.splice(i, 1);
    else list[i] = inner;
    return list.length ? list : null;
  }
  const section = { ...(v ?? {}) };
  const inner = put(section[head] ?? null, rest, value);
  if (inner === null) delete section[head];
  else section[head] = inner;
  return Object.keys(section).length ? section : null;
}

/** The document with all sets laid over it. */
export function apply(doc, sets) {
  return sets.reduce((d, s) => put(d, parts(s.pointer), s.value ?? null) ?? {}, doc);
}

/** Sets with what stood there before each, so that they can be merged and taken back. */
export function withWas(doc, sets) {
  let now = doc;
  return sets.map((s) => {
    let pointer = s.pointer;
    if (pointer.endsWith("/-")) pointer = pointer.slice(0, -1) + (get(now, pointer.slice(0, -2))?.length ?? 0);
    const full = { pointer: s.pointer, value: s.value ?? null, was: get(now, pointer), place: pointer };
    now = apply(now, [full]);
    return full;
  });
}

/** The sets that take sets back. */
export function back(sets) {
  return [...sets].reverse().map((s) => ({ pointer: s.place ?? s.pointer, value: s.was ?? null, was: s.value ?? null }));
}
