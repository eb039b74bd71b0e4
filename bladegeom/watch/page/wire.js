// Talk with the desk: what is asked, what is heard, and never more than one question of a kind under way.

/** Ask; the answer's words, or {refused} with the reason where the desk says no. */
async function answered(path, options) {
  const response = await fetch(path, options);
  // What the desk refuses is said in words.
  if (response.ok || response.status === 422) return response.json();
  throw new Error(`${path.split("?")[0]}: ${response.status}`);
}

export const ask = path => answered(path);

export const send = (path, values) => answered(path, {
  method: "POST",
  headers: {"Content-Type": "application/json"},
  body: values === undefined ? undefined : JSON.stringify(values),
});

/**
 * Work of which only the newest matters: while one is under way, the last one asked for waits and the others are forgotten.
 * @returns {{run: function, busy: function(): boolean, waits: function(): boolean, rest: function(): Promise}}
 */
export function newest(work) {
  let running = null;
  let waiting = null;
  const run = argument => {
    waiting = {argument};
    running ??= (async () => {
      try {
        while (waiting) {
          const next = waiting.argument;
          waiting = null;
          await work(next);
        }
      } finally {
        running = null;
      }
    })();
    return running;
  };
  return {
    run, busy: () => running !== null, waits: () => waiting !== null, rest: () => running ?? Promise.resolve(),
  };
}

/** Hear of every change while the page is seen; a page that nobody sees holds no connection. */
export function hear(changed, alive) {
  let source = null;
  const open = () => {
    source?.close();
    source = null;
    if (document.hidden) return;
    source = new EventSource("events");
    source.onopen = () => alive(true);
    source.onerror = () => alive(false);
    source.onmessage = event => changed(JSON.parse(event.data));
  };
  document.addEventListener("visibilitychange", open);
  open();
}
