# buckram_page(TARGET FOLDER): puts every file of a folder into a program, as they are, and the table
# of them that src/app/page_files.h declares. The assembler's .incbin takes no time where a compiler
# would take minutes for a large array. A folder that is not there gives an empty table; a file that
# appears, goes or changes makes the build look again.
function(buckram_page target folder)
  file(GLOB_RECURSE files CONFIGURE_DEPENDS RELATIVE ${folder} ${folder}/*)
  list(SORT files)
  set(bytes "  .section .note.GNU-stack,\"\",%progbits\n  .section .rodata\n")
  set(names "")
  set(rows "")
  set(places "")
  set(i 0)
  foreach(file IN LISTS files)
    list(APPEND places ${folder}/${file})
    file(SHA256 ${folder}/${file} hash)
    string(SUBSTRING ${hash} 0 20 hash)
    string(APPEND bytes "  .balign 16\n  .global buckram_page_${i}\nbuckram_page_${i}:\n"
           "  .incbin \"${folder}/${file}\"\n"
           "  .global buckram_page_${i}_end\nbuckram_page_${i}_end:\n  .byte 0\n")
    string(APPEND names "extern \"C\" const char buckram_page_${i}[], buckram_page_${i}_end[];\n")
    string(APPEND rows "      {\"${file}\", {buckram_page_${i}, buckram_page_${i}_end}, "
           "\"\\\"${hash}\\\"\"},\n")
    math(EXPR i "${i}+1")
  endforeach()
  set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${places})
  set(made ${CMAKE_CURRENT_BINARY_DIR}/page)
  file(CONFIGURE OUTPUT ${made}/page_bytes.S CONTENT "${bytes}" @ONLY)
  file(CONFIGURE OUTPUT ${made}/page_files.cpp CONTENT "#include \"page_files.h\"\n\n${names}
namespace buckram::app {
std::vector<server::PageFile> page_files() {
  return {
${rows}  };
}
}  // namespace buckram::app
" @ONLY)
  set_source_files_properties(${made}/page_bytes.S PROPERTIES OBJECT_DEPENDS "${places}"
                              COMPILE_OPTIONS "-Wno-unused-command-line-argument")
  target_sources(${target} PRIVATE ${made}/page_bytes.S ${made}/page_files.cpp)
endfunction()
