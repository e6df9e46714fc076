// Runs the SQL on standard input with DuckDB and prints the rows of the last statement as
// JSON. Node finds DuckDB by NODE_PATH.
const { DuckDBInstance } = require("@duckdb/node-api");

async function main() {
	let sql = "";
	for await (const part of process.stdin) sql += part;
	const instance = await DuckDBInstance.create(":memory:");
	const connection = await instance.connect();
	const rows = await connection.runAndReadAll(sql);
	process.stdout.write(JSON.stringify(rows.getRowObjectsJson()));
	connection.closeSync();
}

main().catch((error) => {
	process.stderr.write(String(error && error.message) + "\n");
	process.exit(1);
});
