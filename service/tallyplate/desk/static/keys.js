// The key that somebody gives, and what it allows.

import * as announce from "./announce.js";
import * as finance from "./finance.js";
import { call, key, useKey } from "./api.js";
import { byId, say } from "./dom.js";

const WORDS = { price: "prices", cost: "costs and margins", rates: "rates", override: "settled prices", metrics: "metrics" };

export function begin(changed) {
  const field = byId("key");
  byId("key-form").addEventListener("submit", async (event) => {
    event.preventDefault();
    useKey(field.value.trim());
    if (await show()) byId("key-panel").open = false;
    changed();
  });
  byId("key-forget").addEventListener("click", async () => {
    field.value = "";
    useKey("");
    await show();
    changed();
  });
  byId("key-panel").addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    byId("key-panel").open = false;
    byId("key-panel").querySelector("summary").focus();
  });
}

/** Bring the field for the key. */
export function want() {
  byId("key-panel").open = true;
  byId("key").focus();
}

/** Ask what the key allows, and say it; answers whether it is good. */
export async function show() {
  const answer = await call("access", "/v1/access");
  if (!answer) return true;
  const refused = answer.status === 401;
  const scopes = answer.ok ? answer.data.scopes : answer.status === 404 ? null : [];
  finance.allow(answer.status === 0 ? null : scopes);
  byId("key").setAttribute("aria-invalid", String(refused));
  const text = refused ? "This key is not accepted." : said(answer, scopes);
  say(byId("key-says"), text);
  if (key() || refused) announce.politely(text);
  return !refused;
}

function said(answer, scopes) {
  if (!answer.ok && answer.status !== 404) return key() ? "The key is kept; the service does not say what it allows." : "";
  if (scopes === null) return "This service asks for no key.";
  const allows = scopes.map((one) => WORDS[one] ?? one).join(", ") || "nothing";
  return answer.data.key ? `${answer.data.key} allows: ${allows}.` : `Without a key this service allows: ${allows}.`;
}
