# buckram_folder(NAME ROW lower... LIBS public... PRIVATE private...)
#
# One static library per folder of src/. Each folder's headers stand behind an include path
# of their own, so the compiler refuses an #include from a folder that the row does not name.
# tests/NAME/*_test.cpp become NAME_tests, linked to this folder and its row only: a call to a
# higher folder does not link. bench/NAME/*_bench.cpp become NAME_bench.
function(buckram_folder name)
  cmake_parse_arguments(F "" "" "ROW;LIBS;PRIVATE" ${ARGN})
  file(GLOB sources CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/src/${name}/*.cpp)
  set(face ${CMAKE_SOURCE_DIR}/build/include/${name})  # shared by all presets
  file(MAKE_DIRECTORY ${face})
  file(CREATE_LINK ${CMAKE_SOURCE_DIR}/src/${name} ${face}/${name} SYMBOLIC)
  set(lib buckram_${name})
  if(sources)
    add_library(${lib} STATIC ${sources})
    set(scope PUBLIC)
    target_link_libraries(${lib} PRIVATE ${F_PRIVATE})
  else()
    add_library(${lib} INTERFACE)
    set(scope INTERFACE)
  endif()
  target_include_directories(${lib} ${scope} ${face})
  foreach(lower ${F_ROW})
    target_link_libraries(${lib} ${scope} buckram_${lower})
  endforeach()
  target_link_libraries(${lib} ${scope} ${F_LIBS})

  if(BUCKRAM_TESTS)
    file(GLOB tests CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/tests/${name}/*_test.cpp)
    if(tests)
      add_executable(${name}_tests ${tests})
      target_include_directories(${name}_tests PRIVATE ${CMAKE_SOURCE_DIR}/tests)
      # tests may use the folder's private libraries and the oracles
      target_link_libraries(${name}_tests PRIVATE ${lib} ${F_PRIVATE} GTest::gtest_main
                            PkgConfig::rsvg PkgConfig::cairo ${GEOS_C})
      target_compile_definitions(${name}_tests PRIVATE BUCKRAM_ROOT="${CMAKE_SOURCE_DIR}"
                                 BUCKRAM_BUILD="${CMAKE_BINARY_DIR}")
      add_test(NAME ${name} COMMAND ${name}_tests)
      set_tests_properties(${name} PROPERTIES LABELS unit)
    endif()
  endif()
  if(BUCKRAM_BENCH)
    file(GLOB benches CONFIGURE_DEPENDS ${CMAKE_SOURCE_DIR}/bench/${name}/*_bench.cpp)
    if(benches)
      add_executable(${name}_bench ${benches})
      target_link_libraries(${name}_bench PRIVATE ${lib} ${F_PRIVATE} benchmark::benchmark_main)
      target_compile_definitions(${name}_bench PRIVATE BUCKRAM_ROOT="${CMAKE_SOURCE_DIR}")
    endif()
  endif()
endfunction()
