// The Node server of the tus project, with a folder: node server.js PORT FOLDER
import { createServer } from "node:http"
import { FileStore } from "@tus/file-store"
import { Server } from "@tus/server"

const [port, directory] = process.argv.slice(2)
const server = new Server({ path: "/files", datastore: new FileStore({ directory }) })
createServer(server.handle.bind(server)).listen(Number(port), "127.0.0.1")
