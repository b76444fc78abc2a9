# The stylesheet and the script of the pages are files in the repository and part of the program: NAME.EXTENSION becomes
# NAME.inc, one raw string literal that begins with a line break. The standard asks compilers for 65536 characters in a
# literal; MSVC stops at 16380 bytes.
function(firmus_embed_page_file name)
  set(file ${CMAKE_CURRENT_SOURCE_DIR}/page/${name})
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${file})
  file(READ ${file} page_text)
  string(LENGTH "${page_text}" length)
  string(FIND "${page_text}" ")page\"" delimiter_at)
  if(length GREATER 16000 OR NOT delimiter_at EQUAL -1)
    message(FATAL_ERROR "${file} does not fit into one raw string literal: it is too long, or it holds )page\"")
  endif()
  get_filename_component(stem ${name} NAME_WE)
  file(CONFIGURE OUTPUT ${CMAKE_CURRENT_BINARY_DIR}/page/${stem}.inc CONTENT "R\"page(\n@page_text@)page\"\n" @ONLY)
endfunction()

if(TARGET firmus_page)
  firmus_embed_page_file(stylesheet.css)
  firmus_embed_page_file(note_player.js)
  target_include_directories(firmus_page PRIVATE ${CMAKE_CURRENT_BINARY_DIR}/page)
endif()
