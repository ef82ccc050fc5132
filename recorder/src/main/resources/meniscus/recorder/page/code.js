// The door for guests: a code, then the page.

import {say, sent} from "./build.js";

const said = document.getElementById("said");
document.getElementById("code-form").addEventListener("submit", sent(async () => {
  say(said, "");
  const answer = await fetch("/api/code", {
    method: "POST", headers: {"Content-Type": "application/json"}, body: JSON.stringify({code: document.getElementById("code").value}),
  }).catch(() => null);
  if (answer?.ok) {
    location.reload();
    return;
  }
  const json = await answer?.json().catch(() => ({}));
  say(said, json?.error ?? "the program cannot be reached");
}));
