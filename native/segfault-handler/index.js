exports.registerHandler = () => {};
