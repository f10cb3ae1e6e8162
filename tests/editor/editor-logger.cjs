// Takes the place of the editor's native logging library, which would have to be compiled: the same calls,
// written to the same files with plain file writes.
const { appendFileSync, mkdirSync } = require('node:fs');
const { dirname } = require('node:path');

const levels = ['trace', 'debug', 'info', 'warn', 'error', 'critical'];

class Logger {
  constructor(file) {
    this.file = file;
    this.level = levels.indexOf('info');
    this.bare = false;
    mkdirSync(dirname(file), { recursive: true });
  }
  setLevel(level) {
    this.level = level;
  }
  getLevel() {
    return this.level;
  }
  clearFormatters() {
    this.bare = true;
  }
  setPattern() {}
  flush() {}
  drop() {}
}

for (const [level, name] of levels.entries()) {
  Logger.prototype[name] = function (message) {
    if (level < this.level) return;
    appendFileSync(this.file, this.bare ? message : `${new Date().toISOString()} [${name}] ${message}\n`);
  };
}

const createLogger = async (_name, file) => new Logger(file);

module.exports = {
  Logger,
  createRotatingLogger: createLogger,
  createAsyncRotatingLogger: createLogger,
  setLevel() {},
  setFlushOn() {},
  shutdown() {},
  version: 0,
};
