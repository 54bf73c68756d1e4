// Lengths as a tape reads, to the sixteenth.
export function tape(inches) {
  const sign = inches < 0 ? "-" : "";
  let sixteenths = Math.round(Math.abs(inches) * 16);
  const feet = Math.floor(sixteenths / 192);
  sixteenths -= feet * 192;
  const whole = Math.floor(sixteenths / 16);
  let top = sixteenths - whole * 16;
  let under = 16;
  while (top && top % 2 === 0) { top /= 2; under /= 2; }
  const parts = [];
  if (feet) parts.push(`${feet}'`);
  const part = [whole || !top ? String(whole) : "", top ? `${top}/${under}` : ""].filter(Boolean).join(" ");
  if (part !== "0" || !feet) parts.push(`${part}"`);
  return sign + parts.join(" ");
}

export function grained(inches) {
  return Math.round(inches * 16) / 16;
}

// Reads 12' 4 1/2", 5 3/4, 3/8", 7.25; gives NaN for anything else.
export function inches(text) {
  const plain = text.trim().replace(/[′’]/g, "'").replace(/[″”]/g, '"');
  const found = /^(-)?\s*(?:(\d+(?:\.\d+)?)\s*')?\s*-?\s*(?:(\d+(?:\.\d+)?)(?!\s*\/))?\s*-?\s*(?:(\d+)\s*\/\s*(\d+))?\s*"?$/.exec(plain);
  if (!found || !plain.replace(/["'\s-]/g, "")) return NaN;
  const [, minus, feet, whole, top, under] = found;
  const value = 12 * Number(feet || 0) + Number(whole || 0) + (top ? Number(top) / Number(under) : 0);
  return minus ? -value : value;
}
