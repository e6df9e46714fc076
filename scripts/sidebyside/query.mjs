// Reads every recording of a dataset and averages each block over its steady
// window, with the engine's own threads and its reader of many files at once, and
// prints how many blocks there were. With "typed" the columns and their types are
// given, which spares the engine finding them out.
import { DuckDBInstance } from '@duckdb/node-api';

const [dataset, how] = process.argv.slice(2);
const columns = ['elapsed_s', 'power_w', 'speed_mps', 'distance_m', 'cadence_spm', 'step_length_m', 'contact_ms', 'oscillation_cm', 'heart_rate_bpm'];
const typed = how === 'typed' ? `, auto_detect=false, header=true, delim=',', columns={${columns.map((c) => `'${c}': 'DOUBLE'`)}}` : '';
const averages = columns.slice(1).map((c) => `avg(${c}) AS ${c}`);
const session = `split_part(replace(filename, '\\', '/'), '/', -2) AS session`;
const query = `
  WITH blocks AS (SELECT ${session}, block, start_s, end_s FROM read_csv('${dataset}/sessions/*/blocks.csv', filename=true)),
  samples AS (SELECT ${session}, * FROM read_csv('${dataset}/sessions/*/foot_sensor.csv', filename=true${typed}))
  SELECT b.session, b.block, count(*) AS samples, ${averages}
  FROM blocks b JOIN samples s ON s.session = b.session AND s.elapsed_s >= b.start_s + 60 AND s.elapsed_s < b.end_s - 15
  GROUP BY ALL ORDER BY ALL`;
const connection = await (await DuckDBInstance.create(':memory:')).connect();
const answer = await connection.runAndReadAll(query);
if (answer.currentRowCount === 0) throw new Error('no block was averaged');
console.log(answer.currentRowCount);
