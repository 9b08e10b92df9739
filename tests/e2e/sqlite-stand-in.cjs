module.exports = require('libsql');
