// Ballot files, read and written as results/votes/ballot.cpp does. `say` makes sentences of the
// page's words.

const readWhole = (word, largest) => /^\d{1,7}$/.test(word) && +word >= 1 && +word <= largest ? +word : 0;
const splitTrimmed = (text, pattern) => text.split(pattern).map(word => word.trim());
const wordsOf = text => splitTrimmed(text, /[;+]/.test(text) ? /[;+]/ : /[ \t\r\n,]/).filter(Boolean);

// {form: none | one | picks | ranking | blank, places: lists of words}
const splitVote = text => {
  if (["blank", "leer", "-"].includes(text.toLowerCase())) return {form: "blank", places: []};
  if (/[>=]/.test(text)) return {form: "ranking", places: splitTrimmed(text, ">").map(place => splitTrimmed(place, "="))};
  const words = wordsOf(text), ranks = new Map();
  for (const word of words) {
    const colon = word.lastIndexOf(":"), rank = colon < 0 ? 0 : readWhole(word.slice(colon + 1).trim(), 9999);
    if (!rank) { ranks.clear(); break; }
    ranks.set(rank, [...ranks.get(rank) ?? [], word.slice(0, colon).trim()]);
  }
  if (ranks.size) return {form: "ranking", places: [...ranks.keys()].sort((a, b) => a - b).map(rank => ranks.get(rank))};
  return {form: words.length === 0 ? "none" : words.length === 1 ? "one" : "picks", places: words.length ? [words] : []};
};

// Rows of {line, fields}, the header in lower case; remarks above it are left out.
const readTable = (text, say) => {
  let start = text.startsWith("\ufeff") ? 1 : 0, line = 1, said = "", separator = ",";
  for (const part of text.slice(start).split(/(\r\n|\r|\n)/)) {
    if (/^[\r\n]/.test(part)) { start += part.length; ++line; continue; }
    const bare = part.trim().replace(/^"/, ""), says = /^sep=/i.test(bare);
    if (says) said = bare[4] ?? "\t";
    if (!(says || bare === "" || bare[0] === "#" || /^[,;\t]*$/.test(bare))) {
      const most = c => part.split(c).length;
      separator = said || [",", ";", "\t"].reduce((best, c) => most(c) > most(best) ? c : best);
      break;
    }
    start += part.length;
  }
  const records = [];
  let fields = [""], begun = line, quoted = false;
  const finish = () => { if (fields.some(field => field.trim())) records.push({line: begun, fields: fields.map(field => field.trim())}); fields = [""]; begun = line; };
  for (let i = start; i < text.length; ++i) {
    const c = text[i], last = fields.length - 1, lineEnd = c === "\n" || c === "\r" && text[i + 1] !== "\n";
    if (lineEnd) ++line;
    if (quoted) {
      if (c !== '"') fields[last] += c;
      else if (text[i + 1] === '"') { fields[last] += c; ++i; }
      else quoted = false;
    } else if (lineEnd) finish();
    else if (c === "\r") continue;
    else if (c === '"' && !fields[last].trim()) quoted = true;
    else if (c === separator) fields.push("");
    else fields[last] += c;
  }
  if (quoted) throw new Error(say("fault_quote", {line: begun}));
  finish();
  return {header: (records[0]?.fields ?? []).map(field => field.toLowerCase()), rows: records.slice(1)};
};

const columnsOf = header => {
  const find = (...names) => header.findIndex(field => names.includes(field));
  return {vote: find("vote", "stimme"), count: find("count", "anzahl"), of: find("class", "klasse"), gallery: find("gallery", "galerie"), code: find("ballot", "zettel")};
};
const isCode = word => /^v[bcdfghjkmnpqrstvwxz]{9}$/.test(word);
const classOfFile = name => {
  const stem = name.replace(/^.*[/\\]/, "").replace(/(.)\.[^.]*$/, "$1"), short = stem.replace(/^ballots[-_ ]/, "");
  return short || stem;
};

// A design's index by number or name. guide: {designs: names, numbers, gallery, kind}
const makeFinder = guide => {
  const numbers = new Map(guide.numbers.map((number, i) => [number, i])), names = new Map();
  guide.designs.forEach((name, i) => names.set(name.toLowerCase(), names.has(name.toLowerCase()) ? -1 : i));
  return word => numbers.get(readWhole(word, 9999)) ?? names.get(word.toLowerCase()) ?? -1;
};

// {fault} as the rest of a sentence, or {places} of indices.
const placeVote = (vote, kind, anyRanked, guide, find, say) => {
  const named = new Set(), places = [];
  for (const words of vote.places) {
    const place = [];
    for (const word of words) {
      if (!word) return {fault: say("fault_empty_place")};
      const design = find(word);
      if (design < 0) return {fault: say("fault_no_design", {word, first: guide.numbers[0], last: guide.numbers.at(-1)})};
      if (named.has(design)) return {fault: say("fault_twice", {number: guide.numbers[design]})};
      named.add(design);
      place.push(design);
    }
    places.push(place);
  }
  if (vote.form === "none") return {fault: say("fault_none")};
  if (kind === "picks" && vote.form === "ranking") return {fault: say("fault_ranks")};
  if (kind === "ranking" && anyRanked && vote.form === "picks") return {fault: say("fault_picks")};
  return {places};
};

// 64 bits of FNV-1a as nine letters that spell no word: a ballot's code from where it was read.
const codeLetters = "bcdfghjkmnpqrstvwxz";
const codeOf = text => {
  let hash = 0xcbf29ce484222325n;
  for (const byte of new TextEncoder().encode(text)) hash = (hash ^ BigInt(byte)) * 0x100000001b3n & 0xffffffffffffffffn;
  let code = "v";
  for (let i = 0; i < 9; ++i) { code += codeLetters[Number(hash % 19n)]; hash /= 19n; }
  return code;
};
const randomCode = () => "v" + Array.from(crypto.getRandomValues(new Uint32Array(9)), value => codeLetters[value % 19]).join("");

// files: [{name, text}]. {kind, ballots: [{code, of, count, places}], spoiled, notices}; a blank
// ballot has no places. Throws an Error whose message is a sentence: no table, another gallery.
const readBallots = (files, guide, known, say) => {
  const votes = [], notices = [], spoiled = [], ballots = [];
  for (const {name, text} of files) {
    if (text.includes("\0")) throw new Error(`${name}: ${say("fault_zero")}`);
    let table;
    try { table = readTable(text, say); } catch (fault) { throw new Error(`${name}: ${fault.message}`); }
    const columns = columnsOf(table.header);
    if (columns.vote < 0) throw new Error(`${name}: ${say("fault_column")}`);
    let without = 0;
    for (const {line, fields} of table.rows) {
      const field = column => fields[column] ?? "", where = `${name}, ${say("line", {line})}`;
      if (fields[0][0] === "#" && !field(columns.vote)) continue;
      let filled = fields.length;
      while (filled > table.header.length && !fields[filled - 1]) --filled;
      const vote = {...splitVote(field(columns.vote)), where, fault: "", count: 1, code: field(columns.code), gallery: field(columns.gallery)};
      vote.of = field(columns.of) || (files.length > 1 ? classOfFile(name) : "");
      if (filled > table.header.length) { vote.fault = say("fault_fields", {n: filled, allowed: table.header.length}); vote.gallery = vote.code = ""; }
      else if (fields[0][0] === "#") vote.fault = say("fault_remark");
      else if (columns.count >= 0) {
        vote.count = readWhole(field(columns.count), 1000000);
        if (!vote.count) vote.fault = say("fault_count", {word: field(columns.count)});
      }
      if (!vote.gallery) ++without;
      else if (vote.gallery !== guide.gallery) throw new Error(`${where}: ${say("fault_gallery")}`);
      vote.own = isCode(vote.code);
      if (!vote.own) vote.code = codeOf(`${name}\n${text}\n${line}`);
      votes.push(vote);
    }
    if (without && files[0].name) notices.push(`${name}: ${say("notice_gallery", {n: without})}`);
  }
  const sound = votes.filter(vote => !vote.fault), of = form => sound.filter(vote => vote.form === form).length;
  const anyRanked = of("ranking") > 0;
  const kind = guide.kind ?? (anyRanked && of("ranking") >= of("picks") + of("one") ? "ranking" : "picks");
  const find = makeFinder(guide), seen = new Map();
  for (const vote of votes) {
    const {where, code, own, count} = vote, said = JSON.stringify([vote.form, vote.places]);
    if (seen.has(code) || known.has(code)) {
      if (seen.has(code) && seen.get(code) !== said) spoiled.push(`${where}: ${say("fault_code")}`);
      else notices.push(`${where}: ${say("notice_twice")}`);
      continue;
    }
    seen.set(code, said);
    const {fault, places} = vote.fault ? vote : vote.form === "blank" ? {places: []} : placeVote(vote, kind, anyRanked, guide, find, say);
    if (fault) spoiled.push(`${where}: ${fault}`);
    else ballots.push({code, own, of: vote.of, count, places});
  }
  return {kind, ballots, spoiled, notices};
};

// What somebody typed or pasted, one ballot a line: {ballots, notices} or {fault}, a whole sentence.
// Rows of a table are read as such, and where a line's first number may be a row's number, we ask.
const readTyped = (text, guide, known, say) => {
  const lines = text.split(/\r\n|\r|\n/).map((line, i) => ({line: i + 1, text: line.trim()})).filter(({text}) => text && text[0] !== "#");
  if (!lines.length) return {fault: say("typed_none")};
  const header = lines[0].text.toLowerCase().split(/[,;\t]/).map(word => word.replaceAll('"', "").trim());
  const asTable = head => {
    try {
      const {ballots, spoiled, notices} = readBallots([{name: "", text: head + text}], guide, known, say);
      if (spoiled.length) return {fault: `${spoiled[0].replace(/^, /, "")}. ${say("typed_nothing")}`};
      // A row without the page's own code may well be typed again: another voter said the same.
      return {ballots: ballots.map(({own, code, ...ballot}) => own ? {code, ...ballot} : ballot), notices: notices.map(notice => notice.replace(/^[:,] /, ""))};
    } catch (fault) { return {fault: fault.message.replace(/^: /, "")}; }
  };
  if (columnsOf(header).vote >= 0) return asTable("");
  // ballot,vote or the page's own four columns, without the line that names them
  const rows = lines.map(({text}) => text.match(/^"?(\d+|v[a-z]{9})"? *([,;\t])\s*(.+)$/));
  const counts = rows.every((row, i) => row && (isCode(row[1]) || +row[1] === +rows[0][1] + i));
  if (counts) {
    const rests = rows.map(row => row[3]), separator = rows[0][2];
    if (rests.some(rest => /,\s*g[0-9a-f]{16}\s*$/.test(rest.replaceAll(/[;\t]/g, ",")))) return asTable(["ballot", "class", "vote", "gallery"].join(separator) + "\n");
    const isSure = rests.every(rest => !rest.replace(/^".*"$/, "").includes(separator)) && (isCode(rows[0][1]) || rests.some(rest => /[>=:" ]|blank|leer/i.test(rest)));
    if (isSure) return asTable(`ballot${separator}vote\n`);
    if (lines.length > 1) return {fault: say("typed_rows")};
  }
  const find = makeFinder(guide), ballots = [];
  for (const {line, text} of lines) {
    const vote = splitVote(text);
    if (vote.form === "blank") { ballots.push({places: []}); continue; }
    // In a ranking, numbers in a row without > stand for an order nobody wrote.
    const {fault, places} = placeVote(vote, guide.kind, true, guide, find, say);
    if (fault) return {fault: `${say("line", {line})}: ${fault}. ${say("typed_nothing")}`};
    ballots.push({places});
  }
  return {ballots, notices: []};
};

const quoteField = text => /[",;\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
const writeVote = (kind, places, numbers) => !places.length ? "blank"
  : kind === "ranking" ? places.map(place => place.map(design => numbers[design]).join("=")).join(">")
  : places[0].map(design => numbers[design]).join(" ");
// In order of their codes, which are drawn by lot: nobody reads from it who voted when.
const writeBallots = (kind, ballots, guide) => {
  const counted = ballots.some(ballot => ballot.count > 1);
  const rows = [...ballots].sort((a, b) => a.code < b.code ? -1 : 1).map(({code, of, count, places}) =>
    [code, quoteField(of), ...counted ? [count] : [], writeVote(kind, places, guide.numbers), guide.gallery].join(","));
  return [["ballot", "class", ...counted ? ["count"] : [], "vote", "gallery"].join(","), ...rows].join("\r\n") + "\r\n";
};
