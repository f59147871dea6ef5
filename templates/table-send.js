"use strict";
// Sends the take log to the desk that gave this page, whole each time, under a number that goes up by one: what comes
// twice is known there. What was not answered is sent again under its number, also after a reload.
//
// plan: the data of the page; log: what takeLog gave; tell(text): whether the desk has the takes.
const logSender = (plan, log, tell) => {
  const KEY = `lessonplan.table.sent.${plan.day}.${log.device()}`; // not of the title, which may change
  const SOON = 1500; // several taps go together
  const AGAIN = 8000; // out of reach, it is tried again after so many milliseconds
  let sent = { count: 0, text: "", done: true };
  let [timer, busy, away] = [0, false, false];

  function load() {
    try {
      const kept = JSON.parse(localStorage.getItem(KEY));
      if (kept && kept.count >= sent.count) sent = kept;
    } catch {
      // this browser keeps nothing, so the page's own memory counts
    }
  }

  function keep(values) {
    sent = { ...sent, ...values };
    try {
      localStorage.setItem(KEY, JSON.stringify(sent));
    } catch {
      // as above
    }
  }

  function wait(milliseconds) {
    clearTimeout(timer);
    timer = setTimeout(send, milliseconds);
  }

  async function send() {
    if (busy) return;
    load();
    if (sent.done && (sent.text === log.csv() || !log.takes().length)) return;
    // What is on its way keeps its number until it is answered; only then follows what was tapped since.
    if (sent.done) keep({ count: sent.count + 1, text: log.csv(), done: false });
    busy = true;
    let pause = AGAIN;
    try {
      const headers = { "idempotency-key": `${plan.day}/${log.device()}/${sent.count}`, "content-type": "text/csv" };
      const answer = await fetch(plan.sends, { method: "POST", headers, body: sent.text });
      away = false;
      if (answer.ok) {
        const { said } = await answer.json();
        keep({ done: true });
        pause = SOON;
        tell(said ? `At the desk. ${said}` : "The takes are at the desk.");
      } else if (answer.status === 409) {
        keep({ count: sent.count + 1 });
        pause = SOON;
      } else {
        tell(answer.status === 403 ? "The desk was opened anew: scan its code again. The takes are kept here." : "The desk does not take the takes; they are kept here.");
      }
    } catch {
      away = true;
      tell("The desk is out of reach: the takes are kept here, and sent when it is back. Leave this page open till then.");
    }
    busy = false;
    if (!sent.done || sent.text !== log.csv()) wait(pause);
  }

  addEventListener("online", () => wait(0));
  // Loaded anew while nobody gives it out, the page would be gone until the desk is back: the browser asks first.
  addEventListener("beforeunload", (leaving) => away && leaving.preventDefault());
  wait(SOON);
  return { changed: () => busy || wait(sent.done ? SOON : AGAIN) };
};
