// A vote on one device. Ballots are lists of numbers: picks for approval, an order for ranking.
const store = (() => {  // localStorage where there is one, else memory
  let kept = {};
  try {
    localStorage.setItem("sixtyfold-probe", "1");
    localStorage.removeItem("sixtyfold-probe");
    return {lasting: true, get: key => localStorage.getItem(key), set: (key, value) => localStorage.setItem(key, value), drop: key => localStorage.removeItem(key)};
  } catch (refused) {
    return {lasting: false, get: key => kept[key] ?? null, set: (key, value) => { kept[key] = value; }, drop: key => { delete kept[key]; }};
  }
})();

const voteText = (method, numbers) => numbers.join(method === "ranking" ? ">" : " ");

// The fault of one typed ballot as a sentence, or the numbers.
const readBallot = (method, line, count) => {
  const words = line.split(method === "ranking" ? />/ : /[\s,;+]+/).map(word => word.trim()).filter((word, i, all) => word || method === "ranking" && all.length > 1);
  if (!words.length) return {fault: "it names no design"};
  const numbers = [];
  for (const word of words) {
    if (!/^\d{1,4}$/.test(word) || +word < 1 || +word > count) return {fault: `“${word}” is not a design’s number from 1 to ${count}`};
    if (numbers.includes(+word)) return {fault: `design ${+word} is named twice`};
    numbers.push(+word);
  }
  return {numbers};
};

const csvOf = vote => ["ballot,vote", ...vote.ballots.map((ballot, i) => `${i + 1},${voteText(vote.method, ballot)}`)].join("\r\n") + "\r\n";

// The most approvals win. Equal counts are a tie.
const countApproval = (ballots, count) => {
  const picks = new Array(count).fill(0);
  for (const ballot of ballots) for (const number of ballot) ++picks[number - 1];
  return picks.map((value, i) => ({number: i + 1, value, place: 1 + picks.filter(other => other > value).length}));
};

// Schulze 2011 with winning votes: i beats j when the strongest chain of majorities from i to j is
// stronger than the one back. Designs not ranked come after all that are.
const countSchulze = (ballots, count) => {
  const table = () => Array.from({length: count}, () => new Array(count).fill(0));
  const wins = table(), path = table();
  for (const ballot of ballots) {
    const rank = new Array(count).fill(Infinity);
    ballot.forEach((number, place) => { rank[number - 1] = place; });
    for (let i = 0; i < count; ++i) for (let j = 0; j < count; ++j) if (rank[i] < rank[j]) ++wins[i][j];
  }
  for (let i = 0; i < count; ++i) for (let j = 0; j < count; ++j) if (wins[i][j] > wins[j][i]) path[i][j] = wins[i][j];
  for (let k = 0; k < count; ++k) for (let i = 0; i < count; ++i) for (let j = 0; j < count; ++j)
    if (i !== j && i !== k && j !== k) path[i][j] = Math.max(path[i][j], Math.min(path[i][k], path[k][j]));
  return path.map((row, i) => {
    const lost = row.filter((strength, j) => path[j][i] > strength).length;
    return {number: i + 1, value: count - 1 - lost, place: 1 + lost};
  });
};
