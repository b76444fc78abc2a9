// The stylesheet and the script of the pages. Both are files of this folder (stylesheet.css, note_player.js) that the
// build turns into string literals (embed.cmake): a page carries them itself, so that it needs no other file.
#pragma once
#include <string_view>

namespace firmus::page {

/// The stylesheet of every page.
inline constexpr std::string_view stylesheet =
#include "stylesheet.inc"
    ;

/// The script of the pages on which notes can be played.
inline constexpr std::string_view note_player_script =
#include "note_player.inc"
    ;
static_assert(note_player_script.find_first_of("<&") == std::string_view::npos,
              "a page must be well-formed XML too, and a script in it cannot be escaped");

}  // namespace firmus::page
