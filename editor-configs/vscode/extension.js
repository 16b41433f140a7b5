// Starts the server when the first lathe program is opened. See package.json for the files that count as such.
const vscode = require("vscode");
const { LanguageClient, TransportKind } = require("vscode-languageclient/node");

let client;

exports.activate = async function () {
  const settings = vscode.workspace.getConfiguration("waywright");
  const [command, ...args] = settings.get("command");
  client = new LanguageClient(
    "waywright",
    "waywright",
    { command, args, transport: TransportKind.stdio },
    {
      documentSelector: [{ language: "lathe" }],
      initializationOptions: {
        codeLenses: settings.get("codeLenses"),
        inlayHints: settings.get("inlayHints"),
      },
      // And tells the server when one of them is changed.
      synchronize: { configurationSection: "waywright" },
    },
  );
  await client.start();
};

exports.deactivate = function () {
  return client && client.stop();
};
