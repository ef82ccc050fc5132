// Photos of the part beside a test: taken with a phone at the bench, or a file.

import {el, say, sent} from "./build.js";
import {ask} from "./live.js";

/** Longest side of what is sent: fills a screen, and is sent in a second [px] (our own choice). */
const LONGEST_PX = 2048;

/** Share of what a JPEG could keep: nobody sees the difference (our own choice). */
const QUALITY = 0.85;

/** @param again shows the test anew */
export function photos(test, again) {
  const said = el("p", {class: "fault", role: "alert"});
  const file = el("input", {id: "photo", type: "file", accept: "image/jpeg,image/png", required: true});
  const caption = el("input", {id: "caption", maxlength: 200, autocomplete: "off"});
  const address = (photo) => `/photo?${new URLSearchParams({name: test.name, file: photo.file})}`;
  const send = async () => {
    say(said, "");
    try {
      const body = await smaller(file.files[0]);
      await ask(`/api/photo?${new URLSearchParams({name: test.name, caption: caption.value})}`, body);
      await again();
    } catch (error) {
      say(said, error.message);
    }
  };
  return [el("h2", {}, "Photos"),
    test.photos.length ? el("div", {id: "photos", class: "photos"}, test.photos.map((photo) => el("figure", {},
      el("a", {href: address(photo), target: "_blank", rel: "noopener"}, el("img", {src: address(photo), alt: photo.caption || "photo of the part", loading: "lazy"})),
      photo.caption ? el("figcaption", {}, photo.caption) : ""))) : "",
    el("form", {class: "line", onsubmit: sent(send)}, el("label", {for: "photo"}, "Photo"), file, el("label", {for: "caption"}, "What it shows"), caption, el("button", {type: "submit", id: "photo-add"}, "Add the photo")), said];
}

/** Made smaller here: a phone's picture has several megabytes, and says where it was taken. */
async function smaller(file) {
  const picture = await createImageBitmap(file).catch(() => {
    throw new Error(`${file.name} is no picture that can be read here: JPEG and PNG can`);
  });
  const share = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [Math.round(picture.width * share), Math.round(picture.height * share)];
  canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return new Promise((resolve) => {
    canvas.toBlob(resolve, "image/jpeg", QUALITY);
  });
}
