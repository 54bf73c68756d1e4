// Talking with the server: JSON in and out, and errors as people read them.
export class Refused extends Error {
  constructor(status, body) {
    const rows = (body && body.problems) || [];
    super(rows.map(said).join(" ") || `The machine that serves answered ${status}.`);
    this.status = status;
    this.conflicts = (body && body.conflicts) || [];
  }
}

function said(p) {
  const place = p.line ? `Line ${p.line}, ${p.where}` : p.where;
  const want = p.want ? `; expected ${p.want}` : "";
  return `${place ? `${place}: ` : ""}${p.found}${want}. ${p.do || ""}`.trim();
}

export class Away extends Error {}

export async function ask(way, { method = "GET", body, form, plain = false } = {}) {
  const options = { method, headers: { accept: plain ? "image/svg+xml" : "application/json" } };
  if (body !== undefined) {
    options.body = JSON.stringify(body);
    options.headers["content-type"] = "application/json";
  }
  if (form) options.body = form;
  let answer;
  try {
    answer = await fetch(way, options);
  } catch {
    throw new Away("The machine that serves cannot be reached.");
  }
  if (answer.ok) {
    if (answer.status === 204) return null;
    return plain ? answer.text() : answer.json();
  }
  let told = null;
  try { told = await answer.json(); } catch { /* a plain answer has only its status */ }
  throw new Refused(answer.status, told);
}

export function newKey() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((b) => b.toString(16).padStart(2, "0")).join("");
}
