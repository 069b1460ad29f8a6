"use strict";
// RFC 1951, for browsers that cannot inflate by themselves.
const inflate = (data) => {
  let at = 2, bit = 0, held = 0, out = new Uint8Array(data.length * 4), size = 0;
  const take = (n) => {
    while (bit < n) { held |= data[at++] << bit; bit += 8; }
    const value = held & ((1 << n) - 1);
    held >>>= n; bit -= n;
    return value;
  };
  const table = (lengths) => {
    const count = new Uint16Array(16), start = new Uint16Array(16), symbol = new Uint16Array(lengths.length);
    for (const n of lengths) count[n]++;
    count[0] = 0;
    for (let n = 1; n < 16; n++) start[n] = start[n - 1] + count[n - 1];
    const next = start.slice();
    lengths.forEach((n, k) => { if (n) symbol[next[n]++] = k; });
    return { count, symbol };
  };
  const read = ({ count, symbol }) => {
    for (let n = 1, code = 0, first = 0, index = 0; n < 16; n++) {
      code |= take(1);
      if (code - count[n] < first) return symbol[index + code - first];
      index += count[n]; first = (first + count[n]) << 1; code <<= 1;
    }
    throw new Error("the data of this page are damaged");
  };
  const put = (value) => {
    if (size === out.length) { const more = new Uint8Array(size * 2); more.set(out); out = more; }
    out[size++] = value;
  };
  const fixed = [table([...Array(288).keys()].map((k) => (k < 144 ? 8 : k < 256 ? 9 : k < 280 ? 7 : 8))), table(Array(30).fill(5))];
  for (let last = 0; !last;) {
    last = take(1);
    const kind = take(2);
    if (kind === 0) {
      bit = held = 0;
      const n = data[at] | (data[at + 1] << 8);
      at += 4;
      for (let k = 0; k < n; k++) put(data[at++]);
      continue;
    }
    let [codes, gaps] = fixed;
    if (kind === 2) {
      const counts = [take(5) + 257, take(5) + 1], order = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];
      const own = Array(19).fill(0), lengths = [];
      for (let k = take(4) + 4, i = 0; i < k; i++) own[order[i]] = take(3);
      const short = table(own);
      while (lengths.length < counts[0] + counts[1]) {
        const word = read(short);
        if (word < 16) lengths.push(word);
        else {
          const value = word === 16 ? lengths[lengths.length - 1] : 0;
          for (let k = word === 16 ? take(2) + 3 : word === 17 ? take(3) + 3 : take(7) + 11; k; k--) lengths.push(value);
        }
      }
      [codes, gaps] = [table(lengths.slice(0, counts[0])), table(lengths.slice(counts[0]))];
    }
    for (let word = read(codes); word !== 256; word = read(codes)) {
      if (word < 256) { put(word); continue; }
      const n = word - 257, e = n < 8 || n === 28 ? 0 : (n >> 2) - 1;
      const length = n === 28 ? 258 : n < 8 ? n + 3 : ((4 + (n & 3)) << e) + 3 + take(e);
      const g = read(gaps), f = g < 4 ? 0 : (g >> 1) - 1, gap = g < 4 ? g + 1 : ((2 + (g & 1)) << f) + 1 + take(f);
      for (let k = 0; k < length; k++) put(out[size - gap]);
    }
  }
  return out.subarray(0, size);
};
