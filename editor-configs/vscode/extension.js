// Starts the server when the first lathe program is opened. See package.json for the files that count as such.
const vscode = require("vscode");
const { LanguageClient, TransportKind } = require("vscode-languageclient/node");

let client;

exports.activate = async function () {
  const [command, ...args] = vscode.workspace.getConfiguration("waywright").get("command");
  client = new LanguageClient(
    "waywright",
    "waywright",
    { command, args, transport: TransportKind.stdio },
    { documentSelector: [{ language: "lathe" }] },
  );
  await client.start();
};

exports.deactivate = function () {
  return client && client.stop();
};
