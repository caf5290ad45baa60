/** What this device keeps: every change before it is sent, the last document of each job, small settings. */

let opening = null;

/** What each form of what is kept adds to the one before; none takes anything away. */
const forms = [
  (db) => {
    const changes = db.createObjectStore("changes", { keyPath: "n", autoIncrement: true });
    changes.createIndex("job", "job");
    changes.createIndex("unsent", ["unsent", "job"]);
    changes.createIndex("id", "id", { unique: true });
    db.createObjectStore("jobs", { keyPath: "job" });
    db.createObjectStore("small");
  },
  (db) => db.createObjectStore("photos", { keyPath: "name" }).createIndex("job", "job"),
];
const form = forms.length;

function open() {
  opening ??= new Promise((done, failed) => {
    const r = indexedDB.open("slabwright", form);
    r.onupgradeneeded = (e) => {
      for (let f = e.oldVersion; f < form; f++) forms[f](r.result);
    };
    r.onsuccess = () => {
      r.result.onversionchange = () => { // a newer page wants to bring what is kept up to date: let it, and go on after
        r.result.close();
        opening = null;
      };
      done(r.result);
    };
    r.onerror = () => {
      opening = null;
      failed(r.error);
    };
  });
  return opening;
}

/** Runs one transaction; resolves with what the request gave once all is on the disk. */
async function run(name, mode, act) {
  const db = await open();
  return new Promise((done, failed) => {
    const t = db.transaction(name, mode, mode === "readwrite" ? { durability: "strict" } : undefined);
    const r = act(t.objectStore(name));
    t.oncomplete = () => done(r?.result);
    t.onerror = t.onabort = () => failed(t.error);
  });
}

/** Keeps a change that has yet to be sent. */
export const keep = (change) => run("changes", "readwrite", (s) => s.add({ ...change, unsent: 1 }));

/** All changes of a job this device made, oldest first. */
export const log = (job) => run("changes", "readonly", (s) => s.index("job").getAll(job));

/** Changes of a job still to be sent, oldest first. */
export const unsent = (job) => run("changes", "readonly", (s) => s.index("unsent").getAll(IDBKeyRange.only([1, job])));

/** How many changes of all jobs are still to be sent. */
export const waiting = () => run("changes", "readonly", (s) => s.index("unsent").count(IDBKeyRange.bound([1, ""], [1, "\uffff"])));

/** Marks a change as sent. */
export async function sent(change, revision) {
  await run("changes", "readwrite", (s) => s.put({ ...change, unsent: 0, revision }));
}

/** Photos of a job as this device has them: those to be sent with their bytes. */
export const photosOf = (job) => run("photos", "readonly", (s) => s.index("job").getAll(job));
export const keepPhoto = (photo) => run("photos", "readwrite", (s) => s.put(photo));

export const saveJob = (record) => run("jobs", "readwrite", (s) => s.put(record));
export const forgetJob = (job) => run("jobs", "readwrite", (s) => s.delete(job));
export const loadJob = (job) => run("jobs", "readonly", (s) => s.get(job));
export const allJobs = () => run("jobs", "readonly", (s) => s.getAll());
export const small = (key) => run("small", "readonly", (s) => s.get(key));
export const setSmall = (key, value) => run("small", "readwrite", (s) => s.put(value, key));

/** An id no other device makes. */
export function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const b = crypto.getRandomValues(new Uint8Array(16));
  b[6] = (b[6] & 15) | 64;
  b[8] = (b[8] & 63) | 128;
  const h = [...b].map((x) => x.toString(16).padStart(2, "0")).join("");
  return `${h.slice(0, 8)}-${h.slice(8, 12)}-${h.slice(12, 16)}-${h.slice(16, 20)}-${h.slice(20)}`;
}

/** This device's id, made once. */
export async function device() {
  let id = await small("device");
  if (!id) {
    id = newId();
    await setSmall("device", id);
  }
  return id;
}
