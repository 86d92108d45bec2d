// A portfolio and a draft card, read from files that somebody chose.

/** {body, wrong}: the request for an impact, and what is wrong with either file. */
export async function portfolio(orders, draft) {
  const wrong = {};
  if (!orders) wrong.orders = "Choose the file of the portfolio.";
  if (!draft) wrong.draft = "Choose the file of the draft card.";
  if (!orders || !draft) return { wrong };
  const body = { orders: [], draft_card: null };
  try {
    body.orders = list(await orders.text());
  } catch (error) {
    wrong.orders = `${orders.name} is not read: ${error.message}`;
  }
  try {
    const text = await draft.text();
    // A file as finance keeps it is sent as it is; the service alone reads it.
    body.draft_card = draft.name.endsWith(".json") ? JSON.parse(text) : text;
  } catch (error) {
    wrong.draft = `${draft.name} is not read: ${error.message}`;
  }
  return { body, wrong };
}

/** A list of requests, {"orders": [...]}, or a request a line. */
function list(text) {
  try {
    const whole = JSON.parse(text);
    if (Array.isArray(whole)) return whole;
    return Array.isArray(whole.orders) ? whole.orders : [whole];
  } catch (error) {
    const lines = text.split("\n").filter((line) => line.trim());
    if (lines.length < 2) throw error;
    return lines.map((line, index) => {
      try {
        return JSON.parse(line);
      } catch (fault) {
        throw new Error(`line ${index + 1}: ${fault.message}`);
      }
    });
  }
}
