// The answer to a file that was taken in needs nothing but the head of the page.
import { start } from "./status.js";

start();
