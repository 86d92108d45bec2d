// Sums of money are decimal text and stay so: sums and differences in whole minor units, never in floats.

const places = (text) => (text.split(".")[1] ?? "").length;

function minor(text, digits) {
  const [whole, decimals = ""] = text.replace("-", "").split(".");
  const value = BigInt(whole + decimals.padEnd(digits, "0"));
  return text.startsWith("-") ? -value : value;
}

function text(value, digits) {
  const all = String(value < 0n ? -value : value).padStart(digits + 1, "0");
  const put = digits ? `${all.slice(0, -digits)}.${all.slice(-digits)}` : all;
  return value < 0n ? `-${put}` : put;
}

/** a - b, exactly. */
export function minus(a, b) {
  const digits = Math.max(places(a), places(b));
  return text(minor(a, digits) - minor(b, digits), digits);
}

/** The sum of amounts, exactly. */
export function sum(amounts) {
  const digits = Math.max(0, ...amounts.map(places));
  return text(amounts.reduce((all, one) => all + minor(one, digits), 0n), digits);
}

export const isZero = (amount) => /^-?0*(\.0*)?$/.test(amount);

/** An amount to be read: thousands parted, a true minus. */
export function money(amount) {
  const [whole, decimals] = amount.replace("-", "").split(".");
  const grouped = whole.replace(/\B(?=(\d{3})+$)/g, ",");
  return `${amount.startsWith("-") ? "\u2212" : ""}${grouped}${decimals ? `.${decimals}` : ""}`;
}

/** A difference, with its sign; nothing is a difference of nothing. */
export function change(amount) {
  if (isZero(amount)) return "\u00b10";
  return amount.startsWith("-") ? money(amount) : `+${money(amount)}`;
}

/** An amount without its minor units, for ranges and scales. */
export const roughly = (amount) => money(amount.split(".")[0] || "0");

/** A date as it is said. */
export function day(iso) {
  const [year, month, date] = iso.split("-").map(Number);
  return new Intl.DateTimeFormat("en-GB", { weekday: "short", day: "numeric", month: "long", year: "numeric", timeZone: "UTC" })
    .format(new Date(Date.UTC(year, month - 1, date)));
}
