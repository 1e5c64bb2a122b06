/* Numbers, kept within bounds and written as the page writes them. */

export const clamp = (value, low, high) => Math.min(Math.max(value, low), high);

export const minus = (text) => text.replace("-", "\u2212");
