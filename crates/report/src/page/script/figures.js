// Figures with their units, as the tables have them: three digits, a prefix that fits.
const figures = (() => {
  const prefixes = [["f", -15], ["p", -12], ["n", -9], ["µ", -6], ["m", -3], ["", 0], ["k", 3], ["M", 6], ["G", 9]];
  const minus = (text) => text.replace("-", "−");
  const prefix = (value) => {
    const power = Math.log10(Math.abs(value)) + 1e-9;
    return [...prefixes].reverse().find(([, exponent]) => exponent <= power) || prefixes[0];
  };
  const spaced = (number, symbol) => (symbol ? `${number} ${symbol}` : number);
  return {
    // `12.3 mV`
    value(value, unit) {
      if (value === null || !Number.isFinite(value)) return "n/a";
      if (value === 0) return spaced("0", unit);
      if (unit === "dB" || unit === "") return spaced(minus(value.toFixed(1)), unit);
      const rounded = Number(value.toPrecision(3));
      const [letter, exponent] = prefix(rounded);
      const number = Number((rounded / 10 ** exponent).toPrecision(3));
      return spaced(minus(String(number)), letter + unit);
    },
    // Labels of an axis, all with the prefix and the decimals of the whole.
    ticks(values, unit) {
      const largest = Math.max(...values.map(Math.abs));
      const [letter, exponent] = unit === "dB" || unit === "" || largest === 0 ? ["", 0] : prefix(largest);
      const step = values.length > 1 ? Math.abs(values[1] - values[0]) / 10 ** exponent : 1;
      const decimals = Math.max(0, -Math.floor(Math.log10(step) + 1e-9));
      return values.map((value) => minus(spaced((value / 10 ** exponent + 0).toFixed(decimals), letter + unit)));
    },
  };
})();
