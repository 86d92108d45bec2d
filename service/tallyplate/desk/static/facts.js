// Weight, lead time, and what the price rests on.

import * as store from "./store.js";
import { known } from "./answers.js";
import { el, fill } from "./dom.js";
import { day } from "./figures.js";
import { weight } from "./units.js";

export function show(place) {
  const { price } = known;
  if (!price) return;
  const { unit } = store.current();
  const { mass, lead_time: lead, hours, rate_card: card, quantity, as_of: date } = price;
  const fact = (name, ...value) => el("div", {}, el("dt", {}, name), el("dd", {}, value));
  const days = `${lead.working_days} working day${lead.working_days === 1 ? "" : "s"}`;
  fill(place,
    fact("Weight", weight(mass.each, unit), quantity > 1 ? el("small", {}, `${weight(mass.total, unit)} in all`) : null,
      mass.milled ? el("small", {}, `${weight(mass.milled, unit)} without what is milled out`) : null),
    fact("Ready", day(lead.ready_on), el("small", {}, days)),
    hours && Object.keys(hours).length
      ? fact("Work", `${Object.values(hours).reduce((all, one) => all + Number(one), 0).toFixed(2)} h`,
        el("small", {}, Object.entries(hours).map(([name, time]) => `${name} ${Number(time).toFixed(2)}`).join(", ")))
      : null,
    fact("Rates", card.id, el("small", {}, `as of ${day(date)}`)));
}
