// Counting, as results/votes/tally.cpp does. A ballot is {count, places}: lists of designs from 0,
// equal where they share a list; who is on none comes after all others.

// The most approvals win. Equal counts are a tie.
const countApproval = (ballots, designs) => {
  const picks = new Array(designs).fill(0);
  for (const {count, places} of ballots) for (const design of places[0] ?? []) picks[design] += count;
  return picks.map((value, design) => ({design, value, place: 1 + picks.filter(other => other > value).length}));
};

// Schulze 2011 with winning votes: i beats j when the strongest chain of majorities from i to j is
// stronger than the one back. Who is beaten by fewer stands before; equal ones share a place.
const countSchulze = (ballots, designs) => {
  const table = () => Array.from({length: designs}, () => new Array(designs).fill(0));
  const wins = table(), path = table();
  for (const {count, places} of ballots) {
    const rank = new Array(designs).fill(Infinity);
    places.forEach((place, at) => place.forEach(design => { rank[design] = at; }));
    for (const place of places) for (const i of place) for (let j = 0; j < designs; ++j) if (rank[i] < rank[j]) wins[i][j] += count;
  }
  for (let i = 0; i < designs; ++i) for (let j = 0; j < designs; ++j) if (wins[i][j] > wins[j][i]) path[i][j] = wins[i][j];
  for (let k = 0; k < designs; ++k) for (let i = 0; i < designs; ++i) for (let j = 0; j < designs; ++j)
    if (i !== j && i !== k && j !== k) path[i][j] = Math.max(path[i][j], Math.min(path[i][k], path[k][j]));
  const lost = path.map((row, design) => row.filter((strength, j) => path[j][design] > strength).length);
  return lost.map((value, design) => ({design, value, place: 1 + lost.filter(other => other < value).length}));
};
