"use strict";
// A form of the desk: a field is saved when it was changed. Without this script each field has a button of its own.
(() => {
  document.documentElement.classList.add("has-script");

  async function save(form) {
    const said = form.querySelector("[role=status]") ?? form.appendChild(document.createElement("p"));
    said.setAttribute("role", "status");
    said.className = "help";
    said.textContent = "Saving";
    const answer = await desk.send(form.action, new URLSearchParams(new FormData(form)));
    if (answer.status === 200) {
      for (const one of document.querySelectorAll("input[name=digest]")) one.value = answer.digest;
      said.textContent = "Saved";
    } else {
      said.textContent = answer.said ?? "Not saved: the desk does not answer. Your typing stays here.";
    }
  }

  // One after the other: each carries the digest that the one before gave.
  let last = Promise.resolve();
  document.addEventListener("change", (event) => {
    const form = event.target.closest("form[data-field]");
    if (form) last = last.then(() => save(form));
  });
  document.addEventListener("submit", (event) => {
    const form = event.target.closest("form[data-field]");
    if (!form) return;
    event.preventDefault();
    last = last.then(() => save(form));
  });
})();
