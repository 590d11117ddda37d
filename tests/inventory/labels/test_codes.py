from inventory.labels import codes


def test_a_drawn_code_is_seven_characters_of_the_alphabet_and_passes_its_check():
    drawn = [codes.draw() for _ in range(500)]
    assert all(len(code) == 7 and set(code) <= set(codes.ALPHABET) for code in drawn)
    assert all(codes.is_code(code) for code in drawn)


def test_the_alphabet_has_one_of_each_pair_that_look_alike():
    for pair in ("0O", "0D", "OQ", "1I", "1L", "2Z", "5S", "8B", "6G", "UV"):
        assert len(set(pair) & set(codes.ALPHABET)) <= 1, pair


def test_what_is_typed_is_folded_to_what_was_printed():
    assert codes.tidy(" 7k3 f9c-m ") == "7K3F9CM"
    assert codes.tidy("BSZGUO0Q") == "8526VDDD"


def test_a_scanned_address_gives_its_code_and_its_host():
    assert codes.read("HTTPS://GARAGE.LOCAL:8443/L/7K3F9CM") == codes.Read("7K3F9CM", "garage.local:8443")
    assert codes.read("http://10.0.0.7/gusset/l/7k3f9cm/") == codes.Read("7K3F9CM", "10.0.0.7")
    assert codes.read("7k3 f9cm") == codes.Read("7K3F9CM", "")


def test_a_wrong_a_missing_an_extra_or_two_swapped_characters_lead_back_to_the_code():
    code = codes.draw()
    other = next(c for c in codes.ALPHABET if c not in code)
    slips = [code[:i] + other + code[i + 1 :] for i in range(7)]
    slips += [code[:i] + code[i + 1 :] for i in range(7)]
    slips += [code[:i] + other + code[i:] for i in range(8)]
    slips += [code[:i] + code[i + 1] + code[i] + code[i + 2 :] for i in range(6) if code[i] != code[i + 1]]
    assert all(code in codes.near(slip) for slip in slips)
    assert code not in codes.near(code)


def test_few_codes_are_near_any_text():
    assert max(len(codes.near(codes.draw())) for _ in range(50)) < 25
