"use strict";
// The square on a certificate, checked in this browser. The text stands behind "#", which no browser sends, and this
// page is served with a policy that lets no script send anything. All sentences stand in the page; here one is chosen.

const MEMBERS = "artist certificate designation facts issued key negative print printed slip title".split(" ");
const LONGEST = 4000;

class Unreadable extends Error {}

// base64url in its one strict form: no padding, no spare bits (RFC 7515, section 2).
function decoded(part) {
  if (!/^[A-Za-z0-9_-]*$/.test(part) || part.length % 4 === 1) throw new Unreadable();
  const letters = atob(part.replaceAll("-", "+").replaceAll("_", "/"));
  if (encoded(letters) !== part) throw new Unreadable();
  return Uint8Array.from(letters, (letter) => letter.charCodeAt(0));
}

function encoded(letters) {
  return btoa(letters).replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

// An object exactly as its bytes say. Writing it again must give the same bytes, so no name can stand in it twice.
function parsed(bytes, inOrder) {
  const object = JSON.parse(new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes));
  if (object === null || typeof object !== "object" || Array.isArray(object)) throw new Unreadable();
  const names = inOrder ? Object.keys(object).sort() : Object.keys(object);
  const again = JSON.stringify(Object.fromEntries(names.map((name) => [name, object[name]])));
  const bytesAgain = new TextEncoder().encode(again);
  if (bytesAgain.length !== bytes.length || bytesAgain.some((byte, at) => byte !== bytes[at])) throw new Unreadable();
  return object;
}

function split(text) {
  const parts = text.split(".");
  if (parts.length !== 3 || text.length > LONGEST) throw new Unreadable();
  const [head, payload, signature] = parts.map(decoded);
  const header = parsed(head, false);
  const known = Object.keys(header).every((name) => ["alg", "kid"].includes(name));
  if (!known || !["Ed25519", "EdDSA"].includes(header.alg) || signature.length !== 64) throw new Unreadable();
  if ("kid" in header && typeof header.kid !== "string") throw new Unreadable();
  return { header, payload, signature, signed: new TextEncoder().encode(`${parts[0]}.${parts[1]}`) };
}

function slipOf(payload) {
  const slip = parsed(payload, true);
  const told = (name) => name === "slip" ? slip[name] === 1 : typeof slip[name] === "string";
  const whole = Object.keys(slip).length === MEMBERS.length && MEMBERS.every(told);
  if (!whole || slip.key.length !== 8 || decoded(slip.facts).length !== 32) throw new Unreadable();
  return slip;
}

// What became of a certificate, as far as this page was told when the site was published.
function standingOf(slip, key) {
  const digest = plain(slip.facts);
  const same = ({ code, digest: begun }) => digest.startsWith(begun) || (code && code === slip.certificate.toUpperCase());
  const ended = Array.from(document.querySelectorAll("#ended li"), ({ dataset }) => dataset).find(same);
  if (ended) return { outcome: ended.standing, slip, key, later: ended.later || "a later one" };
  return { outcome: key.lastDay && !(earliest(slip.issued) <= key.lastDay) ? "late" : "signed", slip, key };
}

// The first day that a date may mean; nothing where it cannot be compared, which then counts as too late.
function earliest(edtf) {
  const [, year, month = "-01", day = "-01"] = /^(\d{4})(-\d\d)?(-\d\d)?(?:$|[~?%T ])/.exec(edtf) ?? [];
  return year && year + month + day;
}

function attempt(work) {
  try {
    return work();
  } catch {
    return null; // whatever is wrong with it, it is nothing that can be read
  }
}

async function check(text, keys) {
  const statement = attempt(() => split(text));
  if (!statement) return { outcome: "unreadable" };
  const { header, payload, signature, signed } = statement;
  const slip = attempt(() => slipOf(payload));
  for (const key of keys.filter(({ thumbprint }) => !("kid" in header) || header.kid === thumbprint)) {
    const jwk = { kty: "OKP", crv: "Ed25519", x: key.x };
    const made = await crypto.subtle.importKey("jwk", jwk, "Ed25519", false, ["verify"]);
    if (await crypto.subtle.verify("Ed25519", made, signature, signed)) {
      return slip && key.thumbprint.startsWith(slip.key) ? standingOf(slip, key) : { outcome: "other" };
    }
  }
  const named = header.kid ?? slip?.key;
  const ours = named === undefined || keys.some(({ thumbprint }) => named && thumbprint.startsWith(named));
  return { outcome: ours ? "altered" : "foreign" };
}

// "2026-03-02" as "2 March 2026", "1998~" as "c. 1998"; what is more than that stays as it is written.
function dateWords(edtf) {
  const [, year, month, day, doubt] = /^(\d{4})(?:-(\d\d))?(?:-(\d\d))?([~?%]?)$/.exec(edtf) ?? [];
  if (!year || (month && !(month >= "01" && month <= "12"))) return edtf;
  const language = document.documentElement.lang === "en" ? "en-GB" : document.documentElement.lang;
  const parts = { year: "numeric", month: month && "long", day: day && "numeric", timeZone: "UTC" };
  const date = new Date(Date.UTC(year, (month ?? 1) - 1, day ?? 1));
  const words = new Intl.DateTimeFormat(language, parts).format(date);
  return (/[~%]/.test(doubt) ? "c. " : "") + words + (/[?%]/.test(doubt) ? "?" : "");
}

function plain(facts) {
  return Array.from(decoded(facts), (byte) => byte.toString(16).padStart(2, "0")).join("");
}

function grouped(facts) {
  return plain(facts).match(/.{4}/g).join(" ");
}

function show(found, place) {
  for (const block of place.querySelectorAll("[data-outcome]")) {
    block.hidden = !block.dataset.outcome.split(" ").includes(found.outcome);
  }
  const { slip, key } = found;
  for (const field of place.querySelectorAll("[data-fact]")) {
    const fact = slip?.[field.dataset.fact] ?? key?.[field.dataset.fact] ?? found[field.dataset.fact] ?? "";
    const words = { facts: grouped, issued: dateWords, lastDay: dateWords, negative: dateWords, printed: dateWords }[field.dataset.fact];
    field.textContent = fact && words ? words(fact) : fact;
    (field.closest("[data-row]") ?? field).hidden = fact === "";
  }
  // Behind "#" the digest stays in the browser too: following the link sends the number alone.
  const code = slip && /^[A-Za-z0-9][A-Za-z0-9-]{0,23}$/.test(slip.certificate);
  for (const later of place.querySelectorAll("[data-later]")) {
    later.hidden = !code;
    if (code) later.href = `/C/${slip.certificate.toUpperCase()}#${slip.facts}`;
  }
  place.hidden = false;
}

async function able(keys) {
  if (!window.isSecureContext || !crypto.subtle) return false;
  const jwk = { kty: "OKP", crv: "Ed25519", x: keys[0]?.x ?? "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo" }; // RFC 8037
  return crypto.subtle.importKey("jwk", jwk, "Ed25519", false, ["verify"]).then(() => true, () => false);
}

async function checkPage(place) {
  const keys = Array.from(document.querySelectorAll("[data-x]"), ({ dataset }) => ({ ...dataset }));
  const form = document.getElementById("paste");
  const answer = async (text) => {
    const bare = text.slice(text.lastIndexOf("#") + 1).replace(/\s+/g, "");
    if (!bare) return;
    show((await able(keys)) ? await check(bare, keys) : { outcome: "unable" }, place);
    place.scrollIntoView({ block: "nearest" });
  };
  form.hidden = false;
  document.getElementById("unscripted").hidden = true;
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    answer(form.elements.square.value);
  });
  window.addEventListener("hashchange", () => answer(location.hash));
  await answer(location.hash === "#content" ? "" : location.hash);
}

function comparePage(place) {
  const digest = attempt(() => grouped(location.hash.slice(1)));
  const recorded = document.getElementById("fingerprint").textContent.trim();
  if (digest?.length === recorded.length) show({ outcome: digest === recorded ? "agrees" : "differs" }, place);
}

const square = document.getElementById("square");
const compared = document.getElementById("compared");
if (square) checkPage(square);
if (compared) comparePage(compared);
