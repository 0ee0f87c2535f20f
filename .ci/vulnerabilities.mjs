// Reads govulncheck's JSON stream and fails on a finding whose vulnerable symbol the code reaches, outside the standard library.
let text = '';
for await (const chunk of process.stdin) text += chunk;
if (text.trim() === '') {
  console.log('govulncheck printed nothing');
  process.exit(1);
}
// The stream is a row of pretty-printed objects; each begins with a brace in the first column.
const messages = text.trim().split(/\n(?=\{)/).map((part) => JSON.parse(part));
const reached = new Map();
for (const { finding } of messages) {
  const frame = finding?.trace?.[0];
  if (frame?.function) reached.set(finding.osv, { module: frame.module, fixed: finding.fixed_version ?? 'nowhere yet' });
}
let failed = false;
for (const [id, { module, fixed }] of reached) {
  const told = module === 'stdlib';
  console.log(`${told ? 'told only' : 'FAILS'}: ${id} in ${module}, mended in ${fixed}`);
  failed ||= !told;
}
console.log(`${reached.size} reached by the code`);
process.exit(failed ? 1 : 0);
